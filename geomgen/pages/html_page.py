"""The page of the report: one file of HTML that asks no network; records in, text out."""

from dataclasses import dataclass

from geomgen.pages.check_rows import verdict
from geomgen.pages.measured_scene import Place, viewed
from geomgen.pages.scene import Scene
from geomgen.pages.templates import rendered
from geomgen.sizing.target import Target
from geomgen.verdicts.check import Check
from geomgen.verdicts.wording import figure, limits_text, raised


@dataclass(frozen=True)
class Picture:
    """A still picture: PNG in base64, size in pixels, caption and text alternative."""

    data: str
    width: int
    height: int
    caption: str
    alt: str


@dataclass(frozen=True)
class Shown:
    """A drawing: its SVG, its caption, the files beside the page."""

    svg: str
    caption: str
    files: tuple[str, ...]


@dataclass(frozen=True)
class PartLine:
    """A part in the table of parts and masses, all as text."""

    name: str
    hand: str
    material: str
    size: str
    volume: str
    mass: str
    skin: str


@dataclass(frozen=True)
class Page:
    """Everything that the page says. `places` by the check's id; `shown_within` is in words."""

    name: str
    title: str
    revision: str
    checks: tuple[Check, ...]
    targets: tuple[Target, ...]
    scene: Scene
    places: dict[str, Place]
    shown_within: str
    pictures: tuple[Picture, ...]
    drawings: tuple[Shown, ...]
    parts: tuple[PartLine, ...]
    cautions: tuple[str, ...]
    notices: tuple[str, ...]
    fingerprint: str
    versions: tuple[tuple[str, str], ...]
    parameters: str
    files: tuple[tuple[str, str], ...]
    released: str = ""
    part_notices: tuple[str, ...] = ()


def html(page: Page) -> str:
    """Return the page."""
    return rendered(
        "pages/page/page.html.j2",
        page=page,
        verdict=verdict(page.checks, page.notices),
        sizing=[_target(target) for target in page.targets],
        scene=viewed(page.scene, page.checks, page.places),
    )


def _target(target: Target) -> dict[str, str]:
    band = ""
    if target.band is not None:
        band = " to ".join(raised(figure(value, target.unit)) for value in target.band)
    return {
        "id": target.id.removesuffix(".*"),
        "what": target.what,
        "limit": raised(limits_text(target)),
        "formula": target.formula,
        "inputs": "; ".join(f"{name} {value}" for name, value in target.inputs),
        "band": band or "–",
        "source": target.source,
    }
