"""What came of a search, in words and rows: what changed, what is met, what stands in the way."""

from collections.abc import Iterator, Sequence

from geomgen.solving.search.free import Free
from geomgen.solving.search.log import MeasuredState
from geomgen.solving.search.missing import FigureGap
from geomgen.solving.search.search import Solved
from geomgen.solving.search.until import Until
from geomgen.solving.search.why import about, reason
from geomgen.verdicts.check import Check
from geomgen.verdicts.wording import figure_of, measured_text

# A figure that moved by less than this share is the same.
ROUNDING = 1e-6
NEAR = 1e-9
# A tolerance below this share of the value is not told.
TOLD = 1e-5
FIRST = " (first answer)"


def values_text(frees: Sequence[Free], values: Sequence[float]) -> str:
    """Return the values [unit inside] of the freed keys in words."""
    pairs = zip(frees, values, strict=False)
    return ", ".join(f"{free.label} {free.shown(v)}" for free, v in pairs)


def progress_line(point: MeasuredState, frees: Sequence[Free]) -> str:
    """Return a line about a measured state: its number, values, figures, what is missing."""
    lead = f"{point.number:3d}  {values_text(frees, point.values) or 'as the file has it'}: "
    if not point.built:
        return lead + f"{point.kind}, {first_line(point.problem)}"
    many = [gap for gap in point.gaps if gap.until.way != "all" or not gap.met()]
    said = [f"{gap.check.id} {measured_text(gap.check)}{_missing_text(gap)}" for gap in many]
    said += [f"{until.text}: no such figure here" for until in point.lacking]
    return lead + ("; ".join(said) or "every check passes") + ("" if point.exact else FIRST)


def first_line(text: str) -> str:
    """Return the first line of a message."""
    return text.partition("\n")[0]


def _missing_text(gap: FigureGap) -> str:
    if gap.check.measured is None:
        return "" if gap.met() else " (not met)"
    if gap.until.value is not None:
        rest = gap.check.measured - gap.until.value
        wrong = gap.until.way == "=" or (rest < 0) == (gap.until.way == ">=")
        if wrong and abs(rest) > NEAR * max(1.0, abs(gap.until.value)):
            return f" ({figure_of(gap.check, abs(rest))} {'over' if rest > 0 else 'short'})"
        return " (met)"
    if gap.check.margin is not None and gap.check.margin < 0:
        return f" ({figure_of(gap.check, -gap.check.margin)} outside)"
    return " (inside)" if gap.met() else " (not met)"


def wanted_text(gap: FigureGap, give: float = 0.0) -> str:
    """Return what is asked of a figure, in words; `give` [unit of the check] as for its gap."""
    until, check = gap.until, gap.check
    if until.value is None:
        return check.target.text
    asked = figure_of(check, until.value)
    if until.way == "=":
        tolerance = gap.tolerance(give)
        if not _told(tolerance, until.value):
            return asked
        return f"{asked}, within {figure_of(check, tolerance)}"
    return f"at {'least' if until.way == '>=' else 'most'} {asked}"


def moved(solved: Solved) -> list[tuple[Check | None, Check]]:
    """Return the checks that are not asked for and moved or turned, former and new."""
    if solved.answer is None:
        return []
    asked = {gap.check.id for gap in solved.answer.gaps if gap.until.way != "all"}
    before = {check.id: check for check in solved.former.checks}
    pairs = [(before.get(c.id), c) for c in solved.answer.checks if c.id not in asked]
    return [(old, new) for old, new in pairs if old is None or _differ(old, new)]


def _differ(old: Check, new: Check) -> bool:
    if old.verdict != new.verdict or old.written != new.written:
        return True
    if old.measured is None or new.measured is None:
        return old.measured != new.measured
    give = (old.error_bound or 0.0) + (new.error_bound or 0.0)
    give += ROUNDING * max(abs(old.measured), abs(new.measured))
    return abs(old.measured - new.measured) > give


def headline(solved: Solved) -> str:
    """Return the answer in one sentence, with what was measured of what is asked."""
    asked = ", ".join(until.text for until in solved.asked.untils)
    frees = solved.asked.frees
    if solved.answer is None:
        return f"nothing within the bounds can be built, so nothing meets {asked}"
    values = values_text(frees, solved.answer.values)
    if not solved.met:
        return _nearest(solved, f"nothing found within the bounds meets {asked}", values)
    asked = ", ".join(_with_measured(solved, until) for until in solved.asked.untils)
    lead = f"{values} meet{'s' if len(frees) == 1 else ''} {asked}"
    if solved.status == "holds":
        same = "; nothing had to change" if solved.answer is solved.former else ""
        return f"{lead}, and every other check passes{same}"
    return f"{lead}, but {_list([c.id for c in solved.answer.failing()])} did not pass"


def _nearest(solved: Solved, lead: str, values: str) -> str:
    """Return what is not met, why, and what comes nearest."""
    reasons = dict.fromkeys(filter(None, (reason(solved, gap) for gap in solved.unmet)))
    why = f": {', '.join(reasons)}" if reasons else ""
    own = [gap for gap in solved.unmet if gap.until.way != "all"]
    said = [f"{gap.check.id} {measured_text(gap.check)}{_missing_text(gap)}" for gap in own]
    return f"{lead}{why}; nearest: {', '.join([values, *said])}"


def _with_measured(solved: Solved, until: Until) -> str:
    """Return something asked and met, with what was measured and how far a value may be off."""
    gaps = [gap for gap in solved.answer.gaps if gap.until == until] if solved.answer else []
    seen = [gap.check.measured for gap in gaps if gap.check.measured is not None]
    if until.way == "all" or not seen:
        return until.text
    first = gaps[0].check
    text = " to ".join(figure_of(first, end) for end in dict.fromkeys((min(seen), max(seen))))
    gives = [gap.tolerance(solved.gives.get(gap.check.id, 0.0)) for gap in gaps]
    if until.value is not None and until.way == "=" and _told(max(gives), until.value):
        text += f", tolerance {figure_of(first, max(gives))}"
    band = max(gap.check.error_bound or 0.0 for gap in gaps)
    if until.banded and band:
        # That of the masses in the file, or of how the air is computed.
        text += f"; its band stays +/- {figure_of(first, band)}"
    if until.banded and any(gap.check.error_bound is None for gap in gaps):
        text += "; how far it may be off is not known"
    return f"{until.text} (measured {text})"


def _told(tolerance: float, value: float) -> bool:
    return tolerance >= TOLD * max(1.0, abs(value))


def _list(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def sentences(solved: Solved) -> list[str]:
    """Return what else there is to say: bounds, ends, states that can't be built, other answers."""
    return [
        *(_others(solved) if solved.met else _against(solved)),
        *_breaks(solved),
        *_mass(solved),
        *_unbuilt(solved),
        *_left(solved),
    ]


def _left(solved: Solved) -> Iterator[str]:
    """Say how far inside their limits figures stay, where the search stopped bringing them nearer.

    A family is told by the figure that is nearest.
    """
    if not solved.trimmed or solved.answer is None or not solved.met:
        return
    rows: dict[str, FigureGap] = {}
    for gap in solved.answer.gaps:
        if gap.limited and gap.off:
            before = rows.get(gap.until.text)
            if before is None or abs(gap.off) < abs(before.off or 0.0):
                rows[gap.until.text] = gap
    said = [f"{g.check.id} {figure_of(g.check, abs(g.off or 0.0))}" for g in rows.values()]
    if said:
        yield (
            f"not brought nearer to the limits after {len(solved.points)} states, for it holds; "
            f"still inside of them: {_list(said)}"
        )


def _others(solved: Solved) -> Iterator[str]:
    free = solved.asked.frees[0]
    if solved.others:
        values = " and ".join(f"{free.shown(x)}" for x in solved.others)
        yield f"the figure comes to the same at about {values}"


def _against(solved: Solved) -> Iterator[str]:
    """Say what keeps the nearest state from meeting what is asked."""
    answer, frees = solved.answer, solved.asked.frees
    if answer is not None:
        for gap in solved.unmet:
            yield (
                f"{gap.check.id} is {measured_text(gap.check)}{_missing_text(gap)}, "
                f"asked: {wanted_text(gap, solved.gives.get(gap.check.id, 0.0))}"
            )
        yield from dict.fromkeys(filter(None, (reason(solved, gap) for gap in solved.unmet)))
        for until in answer.lacking:
            yield f"{until.text}: nothing of that name was measured"
        for free, value in zip(frees, answer.values, strict=False):
            for end, word in ((free.low, "lower"), (free.high, "upper")):
                if abs(value - end) < free.step.size * (1 - NEAR):
                    yield f"{free.label} runs into its {word} bound, {free.shown(end)}"
    for gap in _each(solved.unmet):
        yield from _ends(solved, gap)
    if solved.spent:
        yield (
            f"the search ended because no more than {solved.asked.evaluations} states may be "
            "measured; more may find it: --evaluations"
        )


def _each(gaps: Sequence[FigureGap]) -> list[FigureGap]:
    return list({gap.check.id: gap for gap in gaps}.values())


def _ends(solved: Solved, gap: FigureGap) -> Iterator[str]:
    """Say what a figure does over the bounds; of first answers with `about` before it."""
    frees, unit = solved.asked.frees, gap.check.unit
    name = gap.check.id
    within = [
        (point, f)
        for point in solved.points
        if (f := _figure(point, name)) is not None and len(point.values) == len(frees)
        if all(x.low <= v <= x.high for x, v in zip(frees, point.values, strict=True))
    ]
    if len(within) < 2:
        return
    low, high = (end(within, key=lambda pair: pair[1]) for end in (min, max))
    if _same(within):
        still = next((pair for pair in within if pair[0].exact), low)
        yield f"{name} stays at {about(*still, unit)}: nothing that is freed moves it"
    elif len(frees) == 1:
        free = frees[0]
        ends = [end(within, key=lambda pair: pair[0].values) for end in (min, max)]
        parts = [f"at {free.shown(p.values[0])} {about(p, f, unit)}" for p, f in ends]
        parts += [
            f"{word} {about(p, f, unit)} at {free.shown(p.values[0])}"
            for (p, f), word in ((low, "least"), (high, "most"))
            if f not in [figure for _, figure in ends]
        ]
        yield f"{name}: {', '.join(parts)}"
    else:
        yield (
            f"{name}: from {about(*low, unit)} to {about(*high, unit)} in "
            f"{len(within)} measured states"
        )


def _same(figures: Sequence[tuple[MeasuredState, float]]) -> bool:
    """Say whether a figure is the same in all states: exact ones, and first answers among them."""
    kinds = ([f for point, f in figures if point.exact is way] for way in (True, False))
    return all(not k or max(k) - min(k) <= ROUNDING * max(map(abs, k)) for k in kinds)


def _figure(point: MeasuredState, name: str) -> float | None:
    return next((check.measured for check in point.checks if check.id == name), None)


def _breaks(solved: Solved) -> Iterator[str]:
    broken = {check.id for check in solved.broken}
    before = [c for c in solved.answer.failing() if c.id not in broken] if solved.answer else []
    unmet = {gap.check.id for gap in solved.unmet}
    for check in solved.broken:
        if check.id not in unmet:
            yield f"{check.id} passed before and does not now: {check_text(check)}"
    for check in before:
        if check.id not in unmet:
            yield f"{check.id} did not pass before either: {check_text(check)}"


def check_text(check: Check) -> str:
    """Return measured figure and limits of a check in words."""
    if check.measured is None and not check.written:
        return f"not measured; {check.note}" if check.note else "not measured"
    return f"{measured_text(check)}, limit: {check.target.text}"


def _mass(solved: Solved) -> Iterator[str]:
    if not solved.asked.least_mass:
        return
    seen = [point.mass for point in solved.points if point.mass is not None]
    if not seen:
        yield "no mass could be measured: no part with a stated density"
    elif max(seen) - min(seen) <= ROUNDING * max(seen):
        yield "nothing that is freed moves the mass that is measured: nothing to choose by"


def _unbuilt(solved: Solved) -> Iterator[str]:
    bad = [point for point in solved.points if not point.built]
    if bad:
        one = bad[-1]
        where = values_text(solved.asked.frees, one.values) or "as the file has it"
        yield (
            f"{len(bad)} of {len(solved.points)} states can't be built or are refused, such as "
            f"{where}: {first_line(one.problem)}"
        )


def meaning(until: Until) -> str:
    """Return how something asked is aimed at, in words.

    >>> meaning(Until("inlet.area=target", "inlet.area", False, "target"))
    'the middle of a band; a one-sided limit with the error bound of the measurement inside it'
    """
    return {
        "target": "the middle of a band; a one-sided limit with the error bound of the "
        "measurement inside it",
        "=": "that value within the stated tolerance, else as near as the steps allow, a "
        "hundredth of it at most",
        ">=": "at or above that value, near the present dimensions",
        "<=": "at or below that value, near the present dimensions",
        "all": "every check passes, near the present dimensions",
    }[until.way]
