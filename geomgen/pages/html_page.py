"""The page of the report: one file of HTML that asks no network; records in, text out."""

from collections.abc import Iterable
from dataclasses import dataclass

from geomgen.documents.pressure_legend import pressure_legend
from geomgen.documents.record import Block, Table, rows_of
from geomgen.pages.check_rows import verdict
from geomgen.pages.mass_diagram import DrawnEnvelope
from geomgen.pages.measured_scene import CheckPlace, viewed
from geomgen.pages.pressure_diagram import DrawnPressures
from geomgen.pages.scene import PageScene
from geomgen.pages.templates import rendered
from geomgen.sizing.target import Target
from geomgen.verdicts.check import Check
from geomgen.verdicts.wording import figure, limits_text, raised


@dataclass(frozen=True)
class Picture:
    """A still picture: PNG in base64, size in pixels, caption and text alternative.

    A `wide` one has a row to itself; of the others the first two are seen on a screen, all on
    paper, for the 3D view shows the same.
    """

    data: str
    width: int
    height: int
    caption: str
    alt: str
    wide: bool = False


@dataclass(frozen=True)
class ShownDrawing:
    """A drawing: its SVG, its caption, the files beside the page, the name to link to it by."""

    svg: str
    caption: str
    files: tuple[str, ...]
    name: str = ""


@dataclass(frozen=True)
class BalancePage:
    """What the page says of mass and balance: words, the envelope, the tables of the sheet."""

    words: tuple[str, ...]
    envelope: DrawnEnvelope | None
    tables: tuple[Table, ...]


@dataclass(frozen=True)
class AirPage:
    """What the page says of the air: pressures along the pod, tables and words, pictures."""

    pressures: tuple[DrawnPressures, ...]
    blocks: tuple[Block, ...]
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True)
class ReportPage:
    """Everything that the page says. `places` by the check's id; `shown_within` is in words."""

    name: str
    title: str
    revision: str
    checks: tuple[Check, ...]
    targets: tuple[Target, ...]
    scene: PageScene
    places: dict[str, CheckPlace]
    shown_within: str
    pictures: tuple[Picture, ...]
    drawings: tuple[ShownDrawing, ...]
    parts: Table
    cautions: tuple[str, ...]
    notices: tuple[str, ...]
    fingerprint: str
    versions: tuple[tuple[str, str], ...]
    parameters: str
    files: tuple[tuple[str, str], ...]
    released: str = ""
    order: Table | None = None
    part_notices: tuple[str, ...] = ()
    balance: BalancePage | None = None
    air: AirPage | None = None


def html(page: ReportPage) -> str:
    """Return the page."""
    return rendered(
        "pages/page/page.html.j2",
        page=page,
        verdict=verdict(page.checks, page.notices),
        sizing=_sizing(page.targets),
        legend=pressure_legend(),
        scene=viewed(page.scene, page.checks, page.places),
    )


def _sizing(targets: Iterable[Target]) -> Table:
    rows = rows_of(
        (
            f"{target.what}\n{target.id.removesuffix('.*')}",
            raised(limits_text(target)),
            f"{target.formula}\n{'; '.join(f'{name} {value}' for name, value in target.inputs)}",
            " to ".join(raised(figure(value, target.unit)) for value in target.band or ()) or "–",
            target.source,
        )
        for target in targets
    )
    head = ("target", "limit", "formula and inputs", "band", "source")
    return Table(head, rows, title="Sizing targets")
