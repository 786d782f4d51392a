"""The page of the report: one file of HTML that asks no network; records in, text out.

The document is a template of Jinja (BSD licence), the view plotly.js; both come with their Python
packages and are looked for only when a page is made.
"""

import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from importlib.resources import files
from typing import Any

from geomgen.pages.margin_bar import Bar, bar
from geomgen.pages.scene import PageScene, Vec3, room, traces
from geomgen.pages.verdict_words import GROUPS, SIGNS, sentence
from geomgen.sizing.target import Target
from geomgen.verdicts.check import Check
from geomgen.verdicts.outcome import OUTCOMES, kind_of
from geomgen.verdicts.wording import figure, limits_text, raised

ORDER = ("fail", "not_measured", "warn", "pass", "info")


@dataclass(frozen=True)
class Picture:
    """A still picture: PNG in base64, size in pixels, caption and text alternative."""

    data: str
    width: int
    height: int
    caption: str
    alt: str


@dataclass(frozen=True)
class ShownDrawing:
    """A drawing: its SVG, its caption, the files beside the page."""

    svg: str
    caption: str
    files: tuple[str, ...]


@dataclass(frozen=True)
class CheckPlace:
    """Where a check is looked at: a point [mm], how far round it matters [mm]."""

    at: Vec3
    reach: float


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
    parts: tuple[PartLine, ...]
    cautions: tuple[str, ...]
    notices: tuple[str, ...]
    fingerprint: str
    versions: tuple[tuple[str, str], ...]
    parameters: str
    files: tuple[tuple[str, str], ...]
    released: str = ""
    part_notices: tuple[str, ...] = ()


def html(page: ReportPage) -> str:
    """Return the page."""
    from jinja2 import Environment, StrictUndefined
    from plotly.offline import get_plotlyjs

    source = files("geomgen.pages") / "page"
    texts = {n: (source / n).read_text("utf-8") for n in ("page.html.j2", "page.css", "page.js")}
    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    template = environment.from_string(texts["page.html.j2"])
    return template.render(
        page=_plain(page),
        groups=_groups(page),
        words=OUTCOMES,
        signs=SIGNS,
        colour=lambda body: "rgb(" + ",".join(str(round(255 * c)) for c in body.colour) + ")",
        bar=_bar_svg,
        style=_raw(texts["page.css"]),
        script=texts["page.js"],
        viewer=get_plotlyjs(),
        scene=_scene_json(page),
    )


def _raw(text: str) -> Any:
    from markupsafe import Markup

    return Markup(text)


def _plain(page: ReportPage) -> dict[str, Any]:
    kinds = [kind_of(check) for check in page.checks]
    worst = next((kind for kind in ORDER if kind in kinds), "not_measured")
    counts = ", ".join(f"{kinds.count(k)} {OUTCOMES[k]}" for k in ORDER if kinds.count(k))
    return {
        **{name: getattr(page, name) for name in ReportPage.__dataclass_fields__},
        "verdict": raised(sentence(page.checks)),
        "notices": [raised(text) for text in page.notices],
        "part_notices": [raised(text) for text in page.part_notices],
        "worst": "pass" if worst == "info" else worst,
        "counts": f"{len(page.checks)} figures: {counts}." if counts else "",
        "sizing": [_target(target) for target in page.targets],
    }


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


def _groups(page: ReportPage) -> list[dict[str, Any]]:
    rows = [_check(check, page.places) for check in page.checks]
    found = [(kind, [row for row in rows if row["kind"] == kind]) for kind in ORDER]
    return [{"title": GROUPS[kind], "checks": some} for kind, some in found if some]


def _check(check: Check, places: dict[str, CheckPlace]) -> dict[str, Any]:
    details = [
        f"Method: {check.method}" if check.method else "",
        f"Error bound: {figure(check.error_bound, check.unit)}" if check.error_bound else "",
        f"Closest points: {_points(check.points)}" if check.points else "",
        f"Limit from: {check.source}" if check.source else "",
    ]
    margin = "" if check.margin is None else raised(figure(check.margin, check.unit, sign=True))
    return {
        "id": check.id,
        "kind": kind_of(check),
        "what": check.what,
        "measured": _measured(check),
        "limit": raised(check.target.text),
        "margin": margin,
        "bar": bar(check),
        "place": check.id in places,
        "where": check.where,
        "note": raised(check.note),
        "details": [raised(line) for line in details if line],
    }


def _measured(check: Check) -> str:
    if check.written:
        return check.written
    return (
        OUTCOMES["not_measured"]
        if check.measured is None
        else raised(figure(check.measured, check.unit))
    )


def _points(points: Iterable[Vec3]) -> str:
    return " to ".join("(" + ", ".join(f"{c:.1f}" for c in point) + ")" for point in points) + " mm"


def _bar_svg(check: dict[str, Any]) -> Any:
    from markupsafe import escape

    made: Bar = check["bar"]
    words = f"measured {check['measured']}, {check['limit']}, margin {check['margin'] or 'none'}"
    low, high = made.allowed
    ends = [at for at, free in ((low, made.low_open), (high, made.high_open)) if not free]
    limits = "".join(f'<line class="limit" x1="{at}" x2="{at}" y1="1" y2="19"/>' for at in ends)
    error = ""
    if made.error > 0.5:
        left, right = made.value - made.error, made.value + made.error
        error = f'<line class="error" x1="{left}" x2="{right}" y1="16" y2="16"/>'
    run = "margin" if made.inside else "margin out"
    return _raw(
        f'<svg class="bar" viewBox="0 0 100 20" preserveAspectRatio="none" role="img" '
        f'aria-label="{escape(words)}">'
        f'<rect class="allowed" x="{low}" y="4" width="{max(high - low, 0.4)}" height="12"/>'
        f'{limits}<line class="{run}" x1="{made.margin[0]}" x2="{made.margin[1]}" y1="10" y2="10"/>'
        f'<line class="value" x1="{made.value}" x2="{made.value}" y1="3" y2="17"/>{error}</svg>'
    )


def _scene_json(page: ReportPage) -> str:
    """Return the scene for a script block: no `<` in it, so that nothing can end the block."""
    named = {span.id for span in page.scene.spans} | {o.id for o in page.scene.openings}
    by_id = {check.id: check for check in page.checks}
    places = [
        {
            "id": id_,
            **asdict(place),
            "text": f"{by_id[id_].what}: {_measured(by_id[id_])}",
            "words": f"{OUTCOMES[kind_of(by_id[id_])]}, {raised(by_id[id_].target.text)}",
            "figure": _measured(by_id[id_]) if id_ in named else "",
        }
        for id_, place in page.places.items()
    ]
    whole = {"traces": traces(page.scene), "room": room(page.scene), "places": places}
    return json.dumps(whole, allow_nan=False, separators=(",", ":")).replace("<", "\\u003c")
