"""Rules of the joints: two parts that there are, no pair twice, none that is fitted anyway."""

from collections.abc import Callable, Iterator

from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.rules.clash import FieldClash

# Parts that are made to fit the pod: a joint with it would cut nothing, or all of them.
FITTED = ("firewall", "exit")


def joints_exist(p: Parameters) -> Iterator[FieldClash]:
    """Require that a joint names two families that the file has, no pair twice."""
    optional = {"tailplane": p.tailplane, "fin": p.fins, "pylon": p.pylon, "exit": p.exit}
    absent = {family for family, record in optional.items() if record is None}
    pairs: list[frozenset[str]] = []
    for i, joint in enumerate(p.joints):
        for field in ("trim", "to"):
            family = getattr(joint, field)
            if family in absent:
                yield FieldClash(
                    ("joints", i, field),
                    "no such part in this file",
                    family,
                    "families of parts that the file has",
                )
        pair = frozenset((joint.trim, joint.to))
        if joint.to == "pod" and joint.trim in FITTED:
            yield FieldClash(
                ("joints", i),
                f"the {joint.trim} is fitted to the pod by itself, with {joint.trim}.gap",
                f"{joint.trim} and pod",
                "joints of other parts",
                "leave this joint out",
            )
        if len(pair) == 1:
            yield FieldClash(
                ("joints", i, "to"), "a part is not trimmed to itself", joint.to, "another family"
            )
        elif pair in pairs:
            yield FieldClash(
                ("joints", i),
                "these two are joined already",
                f"{joint.trim} and {joint.to}",
                "one joint a pair",
            )
        pairs.append(pair)


RULES: tuple[Callable[[Parameters], Iterator[FieldClash]], ...] = (joints_exist,)
