"""What a shop's part of the hand-off consists of: solids, sheets, findings and items to list."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from geomgen.measurements.record import Measurement
from geomgen.sizing.target import Comparison, Severity, Target
from geomgen.verdicts.check import Check
from geomgen.verdicts.judge import judged

if TYPE_CHECKING:
    # Pages are made of these records, and need no kernel.
    from OCP.TopoDS import TopoDS_Solid

    from geomgen.drafting.paper.sheet import Sheet
    from geomgen.drafting.record import Drawing
    from geomgen.kernel.trimming.scribed import MarkedMesh

Place = tuple[float, float, float]
Hand = Literal["left", "right", ""]


@dataclass(frozen=True)
class ShopSolid:
    """A solid [mm] to be written as STEP and STL, by a name without path and extension.

    `marked` is its mesh with grooves or raised lines, written as a second STL.
    """

    name: str
    part: str
    solid: "TopoDS_Solid"
    hand: Hand = ""
    note: str = ""
    marked: "MarkedMesh | None" = None

    @property
    def files(self) -> tuple[str, ...]:
        """Return the names of its files, without extension."""
        return (self.name, self.marked_name) if self.marked else (self.name,)

    @property
    def marked_name(self) -> str:
        """Return the name of the mesh with its marks."""
        return f"{self.name}_marked"


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


def found(
    id_: str,
    part: str,
    what: str,
    measured: float | None,
    unit: str,
    *,
    low: float | None = None,
    high: float | None = None,
    severity: Severity = "fail",
    where: str = "",
    method: str = "",
    source: str = "",
    advice: str = "",
    hopeless: str = "",
) -> Check:
    """Return what was measured [unit] on what is handed off, judged as everything else is.

    `advice`, the check's note, says what to do where the outcome is not `pass`; `hopeless` says it
    where no figure will do, or none could be measured. A figure without limits is of severity
    `info` where it is only to be read, `warn` where it is to be looked at.

    >>> found("core.twist", "wing", "twist", 0.2, "deg", high=0.05).verdict
    'fail'
    """
    measurement = Measurement(id_, part, what, measured, unit, method, where=where, note=advice)
    target = Target(
        id_, what, _comparison(low, high), unit, low, high, source=source, severity=severity,
        hopeless=hopeless,
    )  # fmt: skip
    return judged(measurement, target)


def _comparison(low: float | None, high: float | None) -> Comparison:
    if low is None:
        return "none" if high is None else "at most"
    return "at least" if high is None else "between"


@dataclass(frozen=True)
class Item:
    """A row of the parts list: a part or blank, what it is made of, how large, how heavy.

    `size` [mm] is length, width, height of the blank; `volume` [mm3], `mass` [kg], `laminate_area`
    [mm2] None where they don't apply; `files` are names without extension. `kind` tells a part from
    what is only to buy and from a row that sums up others; `stock` [mm3] is what is bought for a
    part where no row of its own says so; `cost` is an amount in the builder's own words for money.
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
    cost: tuple[float, str] | None = None


@dataclass(frozen=True)
class Package:
    """One shop's part of the hand-off; `shop` is the name of its folder."""

    shop: str
    solids: tuple[ShopSolid, ...] = ()
    sheets: tuple[ShopSheet, ...] = ()
    findings: tuple[Check, ...] = ()
    items: tuple[Item, ...] = ()
