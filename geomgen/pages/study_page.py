"""The page of a study: one file of HTML that asks no network; records in, text out.

Tables and verdict maps are written out and need no script; the plots (plotly.js, MIT licence) and
the opened variant do.
"""

from collections.abc import Sequence
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
from geomgen.verdicts.wording import figure, raised

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
        map=verdict_map(page),
        compromises=[(v, weighed_figures(v, page.weighed)) for v in page.variants if v.best],
        data=_data(page),
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
        kind = variants[0].kind
        if kind == "waits":
            return "The one variant is undecided."
        return "The one variant passes all its checks." if passing else "The one variant fails."
    some = "None" if not passing else "All" if passing == len(variants) else str(passing)
    verb = "passes" if passing == 1 else "pass"
    return f"{some} of {len(variants)} variants {verb} all checks."


def others(variants: Sequence[VariantLine]) -> str:
    """Return what became of those that did not pass."""
    failing = sum(v.kind == "fail" for v in variants)
    counts = {f"{failing} {'fails' if failing == 1 else 'fail'} a check": failing}
    undecided = sum(v.kind == "waits" for v in variants)
    be = "is" if undecided == 1 else "are"
    counts |= {f"{undecided} {be} undecided: {UNDECIDED}": undecided}
    lost = [v.status for v in variants if v.kind == "lost"]
    counts |= {f"{lost.count(status)}: {status}": 1 for status in dict.fromkeys(lost)}
    told = "; ".join(text for text, many in counts.items() if many)
    return f"{told}." if told else ""


def weighed_figures(v: VariantLine, weighed: Sequence[tuple[str, str]]) -> list[str]:
    """Return the measured figures of a variant by which it was chosen, as ids with figures."""
    known = {check.id: check for check in v.checks}
    return [f"{id_} {measured(known[id_])}" for id_, _ in weighed if id_ in known]


def verdict_map(page: StudyPage) -> dict[str, Any] | None:
    """Return the verdicts over two varied keys: heads, and for each cell its variants."""
    if page.map_keys is None:
        return None
    down, across = page.map_keys
    rows = list(dict.fromkeys(v.values[down] for v in page.variants))
    columns = list(dict.fromkeys(v.values[across] for v in page.variants))
    cells: dict[tuple[str, str], list[VariantLine]] = {}
    for v in page.variants:
        cells.setdefault((v.values[down], v.values[across]), []).append(v)
    return {
        "down": page.keys[down].key,
        "across": page.keys[across].key,
        "columns": columns,
        "rows": [
            (row, [_cell(cells.get((row, column), [])) for column in columns]) for row in rows
        ],
    }


def _cell(variants: Sequence[VariantLine]) -> dict[str, Any]:
    passing = [v for v in variants if v.kind == "pass"]
    kinds = {v.kind for v in variants}
    kind = next((k for k in ("pass", "waits", "fail") if k in kinds), "lost")
    # What is opened from the cell: one that passes if there is one, a best compromise first.
    ranked = sorted(variants, key=lambda v: (v.kind != kind, not v.best, v.number))
    words = {"pass": OUTCOMES["pass"], "fail": OUTCOMES["fail"], "waits": "undecided"}
    text = words.get(kind, "not built")
    if len(variants) > 1 and kind != "lost":
        text = f"{len(passing)} of {len(variants)} pass"
    return {
        "kind": kind,
        "text": text if variants else "",
        "open": ranked[0].number if ranked else None,
        "best": any(v.best for v in variants),
    }


class _Strings:
    """Texts that recur in every variant, each once."""

    def __init__(self) -> None:
        self.places: dict[str, int] = {}

    def at(self, text: str) -> int:
        return self.places.setdefault(text, len(self.places))


def _data(page: StudyPage) -> dict[str, Any]:
    """Return what the script is given."""
    strings = _Strings()
    whole = {
        "keys": [key.key for key in page.keys],
        "axes": [_axis(axis) for axis in page.axes],
        "shown": list(page.shown),
        "variants": [_variant(v, strings) for v in page.variants],
        "words": {**OUTCOMES, "waits": WAITS},
        "signs": {**SIGNS, **WAITING_SIGN},
    }
    whole["texts"] = list(strings.places)
    return whole


def _axis(axis: AxisLine) -> dict[str, Any]:
    factor, unit = PLOTTED.get(axis.unit, (1.0, axis.unit))

    def scaled(value: float | None) -> float | None:
        return None if value is None else float(f"{value * factor:.10g}")

    return {
        "id": axis.id,
        "what": axis.what,
        "unit": unit,
        "values": [scaled(value) for value in axis.values],
        "way": axis.way,
        "varied": axis.varied,
        "limits": [scaled(v) for v in (axis.low, axis.high) if v is not None],
    }


def _variant(v: VariantLine, strings: _Strings) -> dict[str, Any]:
    order = [*GROUPS, "waits"]
    kinds = {c.id: "waits" if c.id in v.waits else str(kind_of(c)) for c in v.checks}
    ordered = sorted(v.checks, key=lambda check: order.index(kinds[check.id]))
    return {
        "number": v.number,
        "kind": v.kind,
        "best": v.best,
        "values": list(v.values),
        "status": v.status,
        "figures": v.figures if v.built else "",
        "said": v.said() if v.built else "",
        "reason": v.reason,
        "file": v.file,
        "command": v.command,
        "checks": [_check(check, kinds[check.id], v.exact, strings) for check in ordered],
    }


def _check(check: Check, kind: str, exact: bool, strings: _Strings) -> list[Any]:
    """Return id, words, kind, figure, limit, margin, where, note, source as texts; then the bar."""
    told = measured(check)
    if not exact and check.error_bound and check.measured is not None:
        told += f" ± {raised(figure(check.error_bound, check.unit))}"
    texts = (
        *(check.id, check.what, kind, told, raised(check.target.text)),
        *(margin(check), check.where, raised(check.note), check.source),
    )
    made = bar(check)
    drawn = None
    if made is not None:
        drawn = [*made.allowed, *made.margin, made.value, int(made.inside)]
        drawn += [int(made.low_open), int(made.high_open)]
    return [*(strings.at(text) for text in texts), drawn]
