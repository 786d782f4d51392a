"""The page of a study: one file of HTML that asks no network; records in, text out.

Tables are written out and need no script; plots, map, ranges and the opened variant do. The script
draws them itself: what has to be read before anything is seen stays small, and what an opened
variant says is read when it is opened.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from geomgen.pages import gate_sheet
from geomgen.pages.check_rows import margin, measured
from geomgen.pages.margin_bar import bar
from geomgen.pages.templates import rendered
from geomgen.pages.verdict_words import GROUPS, SIGNS, sentence
from geomgen.verdicts.check import Check
from geomgen.verdicts.first import UNDECIDED, WAITS
from geomgen.verdicts.outcome import OUTCOMES, kind_of
from geomgen.verdicts.wording import figure_of, raised

# Areas and volumes are plotted in units that a builder can picture.
PLOTTED = {"mm2": (0.01, "cm²"), "mm3": (0.001, "cm³"), "1": (1.0, ""), "mm^2": (0.01, "cm²")}

WAITING_SIGN = {"waits": "…"}

CAUTIONS = (
    *gate_sheet.CAUTIONS[:2],
    "A best compromise is best among the variants that were tried and in the figures that were "
    "weighed, in nothing else.",
)


@dataclass(frozen=True)
class KeyLine:
    """A varied key: what it is, what was asked for it, and the unit of its numbers."""

    key: str
    what: str
    asked: str


@dataclass(frozen=True)
class AxisLine:
    """A figure or varied number that can be plotted, its values [unit] in the variants' order.

    `low` and `high` are limits that are the same for all variants. `way` is low, high or empty.
    """

    id: str
    what: str
    unit: str
    values: tuple[float | None, ...]
    way: str = ""
    varied: bool = False
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class VariantLine:
    """A variant: its values as written, whether it was built, its checks or the reason.

    `status` is in words; `file` and `command` are empty where the parameters were refused. Of one
    that is not `exact` the checks are first answers, and the verdicts of those in `waits` open.
    """

    number: int
    values: tuple[str, ...]
    built: bool
    status: str
    checks: tuple[Check, ...]
    reason: str
    file: str
    command: str
    best: bool = False
    exact: bool = True
    waits: frozenset[str] = frozenset()

    @property
    def kind(self) -> str:
        """pass, fail, waits for one that is undecided, or lost for one that was not built."""
        if not self.built:
            return "lost"
        if self.failing or not self.checks:
            return "fail"
        return "waits" if any(c.binding and c.id in self.waits for c in self.checks) else "pass"

    @property
    def warnings(self) -> int:
        """How many of its checks warn."""
        return sum(c.verdict == "warn" and c.id not in self.waits for c in self.checks)

    @property
    def failing(self) -> tuple[str, ...]:
        """What keeps it from passing, as ids with figures."""
        stops = (c for c in self.checks if c.stops and c.id not in self.waits)
        return tuple(f"{c.id} {measured(c)} ({raised(c.target.text)})" for c in stops)

    @property
    def figures(self) -> str:
        """Say what its figures are."""
        return "exact" if self.exact else "first answers"

    def said(self) -> str:
        """Return the outcome of its checks in a sentence or two."""
        told = sentence([check for check in self.checks if check.id not in self.waits])
        if self.exact:
            return raised(told)
        wait = "waits" if len(self.waits) == 1 else "wait"
        more = f" {len(self.waits)} more {wait} for the exact figures." if self.waits else ""
        return raised(f"First answer: {told}{more}")


@dataclass(frozen=True)
class StudyPage:
    """Everything that the page says. `shown` are the axes shown first; `weighed` the trade.

    `map_keys` are the places of the two keys of a verdict map, if there is one; `absent` are
    figures that were asked for and that no variant has.
    """

    name: str
    title: str
    revision: str
    keys: tuple[KeyLine, ...]
    axes: tuple[AxisLine, ...]
    shown: tuple[str, ...]
    variants: tuple[VariantLine, ...]
    weighed: tuple[tuple[str, str], ...]
    design: str
    map_keys: tuple[int, int] | None
    cautions: tuple[str, ...]
    fingerprint: str
    versions: tuple[tuple[str, str], ...]
    absent: tuple[str, ...] = ()


def html(page: StudyPage) -> str:
    """Return the page."""
    return rendered(
        "pages/study/study.html.j2",
        page=page,
        headline=headline(page.variants),
        others=others(page.variants),
        worst="pass" if any(v.kind == "pass" for v in page.variants) else "fail",
        signs={**SIGNS, **WAITING_SIGN, "lost": "–"},
        words={"pass": OUTCOMES["pass"], "fail": OUTCOMES["fail"], "waits": "undecided"},
        first=any(v.built and not v.exact for v in page.variants),
        weighed=_weighed(page),
        cells=cells,
        data=_data(page),
        **_details(page.variants),
    )


def headline(variants: Sequence[VariantLine]) -> str:
    """Return the outcome in a sentence.

    >>> headline([])
    'Nothing was studied.'
    """
    passing = sum(v.kind == "pass" for v in variants)
    if not variants:
        return "Nothing was studied."
    if len(variants) == 1:
        if variants[0].kind == "waits":
            return "The one variant is undecided."
        return "The one variant passes all its checks." if passing else "The one variant fails."
    some = "None" if not passing else "All" if passing == len(variants) else str(passing)
    verb = "passes" if passing == 1 else "pass"
    return f"{some} of {len(variants)} variants {verb} all checks."


def others(variants: Sequence[VariantLine]) -> str:
    """Return which of them pass with warnings, and what became of those that did not pass."""
    warned = sum(v.kind == "pass" and v.warnings > 0 for v in variants)
    failing = sum(v.kind == "fail" for v in variants)
    counts = {
        f"{warned} {'passes' if warned == 1 else 'pass'} with warnings": warned,
        f"{failing} {'fails' if failing == 1 else 'fail'} a check": failing,
    }
    undecided = sum(v.kind == "waits" for v in variants)
    be = "is" if undecided == 1 else "are"
    counts |= {f"{undecided} {be} undecided: {UNDECIDED}": undecided}
    lost = [v.status for v in variants if v.kind == "lost"]
    counts |= {f"{lost.count(status)}: {status}": 1 for status in dict.fromkeys(lost)}
    told = "; ".join(text for text, many in counts.items() if many)
    return f"{told}." if told else ""


def _weighed(page: StudyPage) -> list[dict[str, str]]:
    """Return the weighed figures: id, what each is, unit as printed, which way is better.

    Varied keys among them have columns of their own.
    """
    measured_axes = {axis.id: axis for axis in page.axes if not axis.varied}
    return [
        {"id": id_, "what": measured_axes[id_].what, "unit": _unit(page, id_), "way": way}
        for id_, way in page.weighed
        if id_ in measured_axes
    ]


def _unit(page: StudyPage, id_: str) -> str:
    checks = (check for v in page.variants for check in v.checks if check.id == id_)
    return next((unit for _, unit in map(figure_and_unit, checks) if unit), "")


def cells(v: VariantLine, weighed: Sequence[Mapping[str, str]]) -> list[str]:
    """Return a variant's weighed figures, without units."""
    known = {check.id: check for check in v.checks}
    return [figure_and_unit(known[one["id"]])[0] if one["id"] in known else "–" for one in weighed]


def figure_and_unit(check: Check) -> tuple[str, str]:
    """Return a measured figure as printed, without and with its unit apart.

    >>> from geomgen.verdicts.check import Limits
    >>> figure_and_unit(Check("a", "", "", 1.1, "kg", Limits(""), "none", None, "pass"))
    ('1.100', 'kg')
    """
    if check.measured is None:
        return "–", ""
    number, _, unit = measured(check).partition(" ")
    return number, unit


def _data(page: StudyPage) -> dict[str, Any]:
    """Return what the script is given at once."""
    return {
        "keys": [{"key": key.key, "what": key.what} for key in page.keys],
        "axes": [_axis(axis) for axis in page.axes],
        "shown": list(page.shown),
        "weighed": dict(page.weighed),
        "map": list(page.map_keys or ()),
        "variants": [
            {"number": v.number, "kind": v.kind, "best": v.best, "values": list(v.values)}
            for v in page.variants
        ],
        "words": {**OUTCOMES, "waits": WAITS},
        "signs": {**SIGNS, **WAITING_SIGN},
    }


def _axis(axis: AxisLine) -> dict[str, Any]:
    factor, unit = PLOTTED.get(axis.unit, (1.0, axis.unit))

    def scaled(value: float | None) -> float | None:
        return None if value is None else float(f"{value * factor:.10g}")

    return {
        "id": axis.id,
        "key": axis.id.removeprefix("set ") if axis.varied else axis.id,
        "what": axis.what,
        "unit": unit,
        "values": [scaled(value) for value in axis.values],
        "way": axis.way,
        "varied": axis.varied,
        "limits": [scaled(v) for v in (axis.low, axis.high) if v is not None],
    }


def _details(variants: Sequence[VariantLine]) -> dict[str, Any]:
    """Return what is said of opened variants: a line of JSON each, and what many of them say."""
    shared: dict[tuple[str, ...], int] = {}
    return {"details": [_detail(v, shared) for v in variants], "shared": list(shared)}


def _detail(v: VariantLine, shared: dict[tuple[str, ...], int]) -> dict[str, Any]:
    order = [*GROUPS, "waits"]
    kinds = {c.id: "waits" if c.id in v.waits else str(kind_of(c)) for c in v.checks}
    ordered = sorted(v.checks, key=lambda check: order.index(kinds[check.id]))
    return {
        "status": v.status,
        "figures": "" if v.exact or not v.built else v.figures,
        "said": v.said() if v.built else "",
        "reason": v.reason,
        "file": v.file,
        "command": v.command,
        "checks": [_check(check, kinds[check.id], v.exact, shared) for check in ordered],
    }


def _check(check: Check, kind: str, exact: bool, shared: dict[tuple[str, ...], int]) -> list[Any]:
    """Return the place of what others say too, kind, figure, margin; then the bar's numbers."""
    texts = (
        *(check.id, check.what, raised(check.target.text)),
        *(check.where, raised(check.note), check.source),
    )
    made = bar(check)
    drawn: list[float] = []
    if made is not None:
        # To a tenth of a hundredth of its length, which no screen tells apart.
        drawn = [round(at, 1) for at in (*made.allowed, *made.margin, made.value)]
        drawn += [int(made.inside), int(made.low_open), int(made.high_open)]
    place = shared.setdefault(texts, len(shared))
    told = measured(check)
    if not exact and check.error_bound and check.measured is not None:
        told += f" ± {raised(figure_of(check, check.error_bound))}"
    return [place, kind, told, margin(check), drawn]
