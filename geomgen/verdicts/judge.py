"""Measured against target. A target that nothing measured is said, never dropped."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import isfinite

from geomgen.measurements.record import Measurement
from geomgen.sizing.target import Target
from geomgen.verdicts.check import Check, Limits, Verdict
from geomgen.verdicts.wording import figure, limits_text

SHUT = "the opening is blocked or not closed all round"
UNBROKEN = "open, closed all round"
STRAY = ("no target: nothing to judge this figure by",)
UNSURE = "beyond its limit, by less than it may be off"
# Below this share of the limit a difference is the rounding of a computer, not a miss.
ROUNDING = 1e-9
# Kernels find places to a millionth of a millimetre: beyond a limit by no more than that share of
# it (of 1, if it is less), and by no more than the figure's own bound, can't be told from on it.
NOISE = 2e-6


def judge(measurements: Iterable[Measurement], targets: Sequence[Target]) -> list[Check]:
    """Return a check for each measurement, and one for each limit that nothing measured.

    A figure beyond its limit fails; where the target says that it is `unsure`, only by more than
    its error bound, else it warns. Inside, but closer than its error bound, it warns; so does one
    that lies beyond by no more than the kernel's noise and its own bound. An opening
    that is blocked or not closed all round fails; a figure of it that is only to be read is not
    measured. A figure that is missing, not finite or in another unit than its target's is not
    measured. A figure without a target warns.

    >>> gap = Measurement("gap", "pod", "gap", 25.0, "mm", "exact", error_bound=0.01)
    >>> [c.verdict for c in judge([gap], [Target("gap", "gap", "at least", "mm", low=25.4)])]
    ['fail']
    >>> [c.verdict for c in judge([], [Target("gap", "gap", "at least", "mm", low=25.4)])]
    ['not_measured']
    """
    every = list(measurements)
    owners = {id(m): _owner(m, targets) for m in every}
    checks: list[Check] = []
    done: set[str] = set()
    for target in targets:
        if target.comparison == "one of":
            checks.append(_names(target))
            continue
        own = [m for m in every if owners[id(m)] == target.id]
        due = [] if target.severity == "info" or target.if_any else [_missing(target)]
        checks += [judged(m, target) for m in own] or due
        done.add(target.id)
    stray = [m for m in every if owners[id(m)] not in done]
    return checks + [judged(m, Target(m.id, m.what, "none", m.unit, notices=STRAY)) for m in stray]


def _owner(measured: Measurement, targets: Sequence[Target]) -> str | None:
    """Return the id of the closest target: the same id, else the longest that ends in `.*`."""
    ids = [t.id for t in targets if t.comparison != "one of" and _covers(t.id, measured.id)]
    return max(ids, key=lambda key: (key == measured.id, len(key)), default=None)


def _covers(target: str, measured: str) -> bool:
    stem = target.removesuffix(".*")
    if stem == target:
        return measured == target
    return measured == stem or measured.startswith(stem + ".")


def judged(measured: Measurement, target: Target) -> Check:
    """Return the check of one measurement by its target, as `judge` does."""
    check = Check(
        id=measured.id,
        part=measured.part,
        what=measured.what or target.what,
        measured=None,
        unit=target.unit,
        target=_limits(target),
        comparison=target.comparison,
        margin=None,
        verdict="not_measured",
        method=measured.method,
        error_bound=_finite(measured.error_bound),
        where=measured.where,
        points=measured.points,
        source=target.source,
        note=measured.note,
        binding=target.severity == "fail",
    )
    if measured.broken and target.severity == "info":
        # A figure that is only read can't fail; what is judged of the same opening does.
        return replace(check, note=_joined(measured.note, SHUT))
    if measured.broken:
        limits = Limits(UNBROKEN) if target.comparison == "none" else check.target
        verdict, note = _softened("fail", target), _joined(measured.note, target.shut or SHUT)
        return replace(check, target=limits, verdict=verdict, note=note)
    value = measured.value
    if target.hopeless:
        verdict = _softened("fail", target)
        return replace(check, measured=value, verdict=verdict, note=target.hopeless)
    if value is None or not isfinite(value):
        return replace(
            check, note=_joined(measured.note, *target.notices) or "could not be measured"
        )
    if measured.unit != target.unit:
        note = f"measured in {measured.unit}, the target is in {target.unit}: not comparable"
        return replace(check, note=_joined(note, measured.note))
    margin = _margin(value, measured.error_bound, target)
    if margin is None:
        verdict = "pass" if target.severity == "info" else "warn"
        note = _joined(measured.note, *target.notices)
        return replace(check, measured=value, verdict=verdict, note=note)
    verdict, note = _verdict(margin, value, measured.error_bound, target)
    if verdict == "pass":
        verdict, note = _doubted(value, target)
    elif verdict == "fail":
        note = _joined(note, target.advice)
        if target.unsure and -margin < (_finite(measured.error_bound) or 0.0):
            verdict, note = "warn", _joined(UNSURE, note)
    return replace(
        check,
        measured=value,
        margin=margin,
        verdict=_softened(verdict, target),
        note=_joined(measured.note, note),
    )


def _margin(value: float, bound: float | None, target: Target) -> float | None:
    """Return how far inside the nearest limit the value is [unit]; negative outside."""
    if target.comparison == "none":
        return None
    if target.comparison == "equal":
        aim = target.low if target.low is not None else target.high
        if aim is None:
            return None
        return _snapped((_finite(bound) or 0.0) - abs(value - aim), aim)
    margins = []
    if target.low is not None:
        margins.append(_snapped(value - target.low, target.low))
    if target.high is not None:
        margins.append(_snapped(target.high - value, target.high))
    return min(margins, default=None)


def _snapped(margin: float, limit: float) -> float:
    return 0.0 if abs(margin) <= ROUNDING * max(1.0, abs(limit)) else margin


def _verdict(
    margin: float, value: float, bound: float | None, target: Target
) -> tuple[Verdict, str]:
    open_ = target.comparison in ("more than", "less than")
    strict = open_ or target.comparison == "equal"
    noise = 0.0 if strict else min(_finite(bound) or 0.0, NOISE * max(1.0, abs(value)))
    if margin < -noise or (margin == 0 and open_):
        return "fail", ""
    if bound is not None and not isfinite(bound):
        return "warn", "how exact the figure is, is not known"
    if target.comparison != "equal" and bound is not None and margin < bound:
        return "warn", "closer to the limit than the measurement can tell"
    return "pass", ""


def _doubted(value: float, target: Target) -> tuple[Verdict, str]:
    """Return a warning for a figure inside the limits that the inputs or custom speak against."""
    if target.wanted is not None and value < target.wanted:
        wanted = figure(target.wanted, target.unit)
        if target.band is None:
            return "warn", f"less than the usual {wanted}"
        return "warn", f"allowed only by the spread of the inputs; without it the limit is {wanted}"
    if target.usual is not None and value > target.usual:
        return "warn", f"more than the usual {figure(target.usual, target.unit)}"
    return "pass", ""


def _finite(bound: float | None) -> float | None:
    return bound if bound is not None and isfinite(bound) else None


def _softened(verdict: Verdict, target: Target) -> Verdict:
    return "warn" if verdict == "fail" and target.severity == "warn" else verdict


def _missing(target: Target) -> Check:
    return Check(
        id=target.id.removesuffix(".*"),
        part="",
        what=target.what,
        measured=None,
        unit=target.unit,
        target=_limits(target),
        comparison=target.comparison,
        margin=None,
        verdict="not_measured",
        source=target.source,
        note=_joined("nothing measured this", *target.notices),
        binding=target.severity == "fail",
    )


def _names(target: Target) -> Check:
    """Compare names as they were written, one or several between commas."""
    allowed = {_plain(word) for word in target.allowed_words}
    words = [word.strip() for word in target.written_word.split(",") if word.strip()]
    bad = [word for word in words if _plain(word) not in allowed]
    where = [f"{what}: {word}" for what, word in target.inputs if word in bad]
    verdict: Verdict = "not_measured"
    if words:
        verdict = _softened("fail", target) if bad else "pass"
    return Check(
        id=target.id,
        part=target.id.partition(".")[0],
        what=target.what,
        measured=None,
        unit=target.unit,
        target=_limits(target),
        comparison=target.comparison,
        margin=None,
        verdict=verdict,
        method="names compared as written in the parameter file",
        where=", ".join(where),
        source=target.source,
        note=_joined(*target.notices) if words else "nothing is written",
        written=", ".join(dict.fromkeys(words)),
        binding=target.severity == "fail",
    )


def _plain(word: str) -> str:
    return " ".join(word.casefold().split())


def _limits(target: Target) -> Limits:
    return Limits(limits_text(target), target.low, target.high)


def _joined(*texts: str) -> str:
    return "; ".join(text for text in texts if text)
