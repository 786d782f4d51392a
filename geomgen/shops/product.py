"""What a shop's part of the hand-off consists of: solids, sheets, findings and items to list."""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    # Pages are made of these records, and need no kernel.
    from OCP.TopoDS import TopoDS_Solid

    from geomgen.drafting.paper.sheet import Sheet
    from geomgen.drafting.record import Drawing

Verdict = Literal["pass", "fail", "warn"]
Place = tuple[float, float, float]
Hand = Literal["left", "right", ""]


@dataclass(frozen=True)
class ShopSolid:
    """A solid [mm] to be written as STEP and STL, by a name without path and extension."""

    name: str
    part: str
    solid: "TopoDS_Solid"
    hand: Hand = ""
    note: str = ""


@dataclass(frozen=True)
class ShopSheet:
    """A drawing on its paper, to be written as DXF and PDF; one to work by in tiles, too."""

    name: str
    part: str
    paper: "Sheet"
    hand: Hand = ""
    note: str = ""

    @property
    def drawing(self) -> "Drawing":
        """Return what is drawn."""
        return self.paper.drawing

    @property
    def full_size(self) -> bool:
        """Return whether it is one to work by; else it is to be looked at."""
        return self.paper.full_size


@dataclass(frozen=True)
class Finding:
    """Something measured on what is handed off, against its limits [unit]; None: no limit.

    `advice` says what to do where the verdict is not `pass`. `verdict` may be given where it does
    not follow from the limits; a `warn` does not stop the hand-off, a `fail` does.
    """

    id: str
    part: str
    what: str
    measured: float | None
    unit: str
    low: float | None = None
    high: float | None = None
    where: str = ""
    method: str = ""
    source: str = ""
    advice: str = ""
    verdict: Verdict = field(default="pass")


def found(
    id_: str,
    part: str,
    what: str,
    measured: float,
    unit: str,
    *,
    low: float | None = None,
    high: float | None = None,
    worst: Verdict = "fail",
    **more: str,
) -> Finding:
    """Return a finding judged by its limits; outside of them its verdict is `worst`.

    >>> found("core.twist", "wing", "twist", 0.2, "deg", high=0.05).verdict
    'fail'
    """
    good = (low is None or measured >= low) and (high is None or measured <= high)
    verdict: Verdict = "pass" if good else worst
    return Finding(id_, part, what, measured, unit, low, high, verdict=verdict, **more)


@dataclass(frozen=True)
class Item:
    """A row of the parts list: a part or blank, what it is made of, how large, how heavy.

    `size` [mm] is length, width, height of the blank; `volume` [mm3], `mass` [kg], `laminate_area`
    [mm2] None where they don't apply; `files` are names without extension. `kind` tells a part from
    what is only to buy and from a row that sums up others; `stock` [mm3] is what is bought for a
    part where no row of its own says so.
    """

    name: str
    part: str
    hand: Hand
    material: str
    size: Place | None = None
    count: int = 1
    volume: float | None = None
    mass: float | None = None
    laminate_area: float | None = None
    files: tuple[str, ...] = ()
    note: str = ""
    kind: Literal["part", "buy", "sum"] = "part"
    stock: float | None = None


@dataclass(frozen=True)
class Package:
    """One shop's part of the hand-off; `shop` is the name of its folder."""

    shop: str
    solids: tuple[ShopSolid, ...] = ()
    sheets: tuple[ShopSheet, ...] = ()
    findings: tuple[Finding, ...] = ()
    items: tuple[Item, ...] = ()
