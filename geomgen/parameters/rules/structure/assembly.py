"""Rules of how the parts are put together: names that there are, a split through the pod."""

from collections.abc import Iterator

from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.assembly import LEVEL, Assembly
from geomgen.parameters.rules.clash import FieldClash, mm, perhaps
from geomgen.parameters.rules.masses import weighable


def assembly_clashes(p: Parameters) -> list[FieldClash]:
    """Return every clash of the assembly with other fields."""
    return [] if p.assembly is None else [*_names(p, p.assembly), *_split(p, p.assembly)]


def _names(p: Parameters, plan: Assembly) -> Iterator[FieldClash]:
    """Require that what is named is in the file, and nothing twice."""
    known = weighable(p)
    for key, names in (("order", plan.order), ("built_in_place", plan.built_in_place)):
        for i, name in enumerate(names):
            path: Path = ("assembly", key, i)
            if name not in known:
                yield FieldClash(path, "no such part", name, ", ".join(known), perhaps(name, known))
            if name in names[:i]:
                yield FieldClash(path, "named twice", name, "each once")


def _split(p: Parameters, plan: Assembly) -> Iterator[FieldClash]:
    """Require a height of a level split, inside the pod, and of no other."""
    path: Path = ("assembly", "split_waterline")
    level = plan.split_waterline
    if (plan.pod_split == LEVEL) == (level is None):
        yield FieldClash(
            path, f"pod_split is {plan.pod_split}", "nothing" if level is None else mm(level),
            'a height with pod_split = "waterline", nothing without',
            by=(("assembly", "pod_split"),),
        )  # fmt: skip
    if level is not None:
        low = min(row.keel for row in p.pod.stations)
        high = max(row.crown for row in p.pod.stations)
        if not low < level < high:
            yield FieldClash(
                path, "the split misses the pod", mm(level), f"from {mm(low)} to {mm(high)}"
            )
