"""How far a mould goes on beyond the part's own ends; ends where the loft ends have nothing."""

from dataclasses import dataclass

from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import Mould
from geomgen.shapes.hull import pod_lines
from geomgen.shops.figures import plain

# A wing has this much left inboard of a tip that is carried on [mm].
LEFT = 1.0


@dataclass(frozen=True)
class TrimEnd:
    """An end of a part that its mould goes beyond: name, axis (0 to 2), place, how far on [mm]."""

    name: str
    axis: int
    at: float
    by: float


def beyond(
    p: Parameters, mould: Mould, start: float | None, end: float | None
) -> tuple[float | None, float | None]:
    """Return where a mould on lines begins and ends [mm], its trim allowance added.

    Only where the pod's loft goes on beyond the part's end: at the joint of pod and exit.
    """
    more = mould.trim_allowance
    pod = pod_lines(p)
    if more and p.exit is not None and mould.part == "pod" and end is not None:
        end = min(end + more, pod.end)
    if more and mould.part == "exit" and start is not None:
        start = max(start - more, pod.start)
    return start, end


def inboard_of(start: float, more: float, root: float) -> float:
    """Return the buttock line [mm] where a tip's mould begins, `more` [mm] inboard of the tip.

    >>> inboard_of(4000.0, 30.0, 0.0), inboard_of(20.0, 30.0, 0.0)
    (3970.0, 1.0)
    """
    return min(start, max(start - more, root + LEFT))


def trim_ends(p: Parameters, mould: Mould, start: float | None, end: float | None) -> list[TrimEnd]:
    """Return the ends that the mould goes beyond; `start` and `end` [mm] are those of the part."""
    found = []
    if mould.part == "wing_tip" and mould.from_buttock_line is not None:
        at = mould.from_buttock_line
        by = at - inboard_of(at, mould.trim_allowance, p.wing.sections[0].buttock_line)
        return [TrimEnd("inboard end", 1, at, by)] if by else []
    first, last = beyond(p, mould, start, end)
    if start is not None and first is not None and first < start:
        found.append(TrimEnd("fore end", 0, start, start - first))
    if end is not None and last is not None and last > end:
        found.append(TrimEnd("aft end", 0, end, last - end))
    return found


def trim_words(mould: Mould, ends: list[TrimEnd]) -> str:
    """Return what is said of a mould's allowance: which ends have it, that the others have none.

    Nothing where none was asked for.
    """
    if not mould.trim_allowance:
        return ""
    names = ("STA", "BL", "WL")
    there = " and ".join(
        f"{plain(round(end.by, 2))} mm beyond the {end.name}, trim at {names[end.axis]} "
        f"{plain(round(end.at, 2))}"
        for end in ends
    )
    rest = "openings have none to add, the mould goes through them; other ends have none: the loft "
    return f"trim allowance: {there or 'at no end'}; {rest}ends there"
