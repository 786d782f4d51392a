"""Which names `--axes` and `--best` may use: refused before hours of building, not after."""

import itertools
from collections.abc import Sequence

from geomgen.errors import ParameterError
from geomgen.parameters import Parameters
from geomgen.studies.best import BEST
from geomgen.studies.vary import Vary

AXES = "--axes"
AXES_FORM = "up to three ids of figures or varied keys, with commas between"


def axes_asked(text: str) -> tuple[str, ...]:
    """Return the names that `--axes` lists; ParameterError for one, and for more than three."""
    axes = tuple(filter(None, (part.strip() for part in text.split(","))))
    if len(axes) > 3 or len(set(axes)) < len(axes) or len(axes) == 1:
        raise ParameterError("not two or three axes", file=AXES, written=text, allowed=AXES_FORM)
    return axes


def figures_known(p: Parameters, varies: Sequence[Vary]) -> tuple[str, ...]:
    """Return all that can be plotted or weighed: varied numbers, judged figures, informative ones.

    A varied number stands as `set ...`; an id that ends in `.*` is a family of any members.
    """
    from geomgen.sizing.targets import figures

    keys = [vary.key.as_set for vary in varies if vary.key.dimension is not None]
    judged = [target.id for target in figures(p) if target.comparison != "one of"]
    return tuple(dict.fromkeys([*keys, *judged]))


def meant(name: str, known: Sequence[str]) -> tuple[str, ...]:
    """Return what a name stands for among what is known: itself, a varied key, or families.

    >>> known = ("set pod.wall", "inlet.area", "duct.throat_area.*", "duct.turn_angle.*")
    >>> meant("duct", known), meant("pod.wall", known), meant("inlet.area.left", known)
    (('duct.throat_area.*', 'duct.turn_angle.*'), ('set pod.wall',), ())
    >>> meant("duct.turn_angle", known), meant("duct.turn_angle.left", known)
    (('duct.turn_angle.*',), ('duct.turn_angle.left',))
    """
    for whole in (name, f"{name}.*", f"set {name}"):
        if whole in known:
            return (whole,)
    if any(id_.endswith(".*") and name.startswith(id_.removesuffix("*")) for id_ in known):
        return (name,)
    return tuple(id_ for id_ in known if id_.startswith(f"{name}."))


def can_be_shown(names: Sequence[str], known: Sequence[str]) -> None:
    """Refuse axes that no variant can have, that are several figures, and one that is named twice.

    A family whose members only building shows stands for its first one.
    """
    seen: dict[str, str] = {}
    for name in names:
        found = _found(name, known, AXES)
        if len(found) > 1:
            raise ParameterError(
                "several figures for one axis", file=AXES, written=name, allowed=", ".join(found)
            )
        if found[0] in seen:
            raise _twice(AXES, name, seen[found[0]])
        seen[found[0]] = name


def can_be_weighed(names: Sequence[str], known: Sequence[str]) -> None:
    """Refuse figures that no variant can have, and one that is named twice, perhaps both ways.

    A family counts as all its members.
    """
    found = {name: _found(name, known, BEST) for name in names}
    for a, b in itertools.combinations(names, 2):
        if any(_overlap(one, other) for one in found[a] for other in found[b]):
            raise _twice(BEST, b, a)


def _overlap(one: str, other: str) -> bool:
    return one == other or any(
        family.endswith(".*") and f"{member}.".startswith(family.removesuffix("*"))
        for family, member in ((one, other), (other, one))
    )


def _twice(option: str, name: str, other: str) -> ParameterError:
    return ParameterError(
        "named twice", file=option, key=name, written=f"{other}, {name}", allowed="each figure once"
    )


def _found(name: str, known: Sequence[str], option: str) -> tuple[str, ...]:
    found = meant(name, known)
    if not found:
        raise ParameterError("no such figure", file=option, written=name, allowed=", ".join(known))
    return found
