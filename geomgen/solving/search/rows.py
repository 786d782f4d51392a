"""What came of a search, as plain values for JSON."""

from typing import Any

from geomgen.solving.search.log import MeasuredState
from geomgen.solving.search.missing import FigureGap
from geomgen.solving.search.search import Solved
from geomgen.solving.search.told import headline, meaning, moved, sentences
from geomgen.verdicts.check import Check


def as_dict(solved: Solved) -> dict[str, Any]:
    """Return the whole answer as plain values: mm, deg and the units of the checks."""
    answer = solved.answer
    return {
        "status": solved.status,
        "answer": headline(solved),
        "said": sentences(solved),
        "freed": freed_rows(solved),
        "asked": asked_rows(solved),
        "moved": [_moved(old, new) for old, new in moved(solved)],
        "mass": {
            "former": solved.former.mass,
            "new": answer.mass if answer is not None else None,
            "unit": "kg",
        },
        "broken": [check.id for check in solved.broken],
        "not_passed": [check.id for check in answer.failing()] if answer is not None else [],
        "other_solutions": list(solved.others),
        "checks": [check.as_dict() for check in answer.checks] if answer is not None else [],
        "measured_states": [_state(point) for point in solved.points],
        "evaluations": {"made": len(solved.points), "allowed": solved.asked.evaluations},
    }


def freed_rows(solved: Solved) -> list[dict[str, Any]]:
    """Return each freed key with its bounds, its former and its new value."""
    rows = []
    for i, free in enumerate(solved.asked.frees):
        texts = solved.answer.texts if solved.answer is not None else ()
        values = solved.answer.values if solved.answer is not None else ()
        rows.append(
            {
                "key": free.name,
                "unit": free.key.unit,
                "from": free.key.anchor,
                "low": free.low,
                "high": free.high,
                "step": free.step.text,
                "former": free.start,
                "new": values[i] if i < len(values) else None,
                "written": texts[i] if i < len(texts) else None,
            }
        )
    return rows


def asked_rows(solved: Solved) -> list[dict[str, Any]]:
    """Return each figure that is asked for, former and new; of `all` only what is not met."""
    if solved.answer is None:
        return [
            {"until": until.text, "aim": meaning(until), "met": False}
            for until in solved.asked.untils
        ]
    unmet = solved.unmet
    shown = [gap for gap in solved.answer.gaps if gap.until.way != "all" or gap in unmet]
    rows = [_asked(solved, gap, gap not in unmet) for gap in shown]
    rows += [
        {
            "until": until.text,
            "aim": meaning(until),
            "met": not any(g.until == until for g in unmet),
        }
        for until in solved.asked.untils
        if until.way == "all"
    ]
    return rows + [
        {"until": until.text, "aim": meaning(until), "met": False}
        for until in solved.answer.lacking
    ]


def _asked(solved: Solved, gap: FigureGap, met: bool) -> dict[str, Any]:
    before = {check.id: check for check in solved.former.checks}.get(gap.check.id)
    give = solved.gives.get(gap.check.id, 0.0)
    return {
        "until": gap.until.text,
        "aim": meaning(gap.until),
        "id": gap.check.id,
        "unit": gap.check.unit,
        "former": before.measured if before is not None else None,
        "new": gap.check.measured,
        "asked": gap.until.value,
        "tolerance": gap.tolerance(give) if gap.until.way == "=" else None,
        "missing": None if gap.off is None else gap.bare(),
        "met": met,
    }


def _moved(old: Check | None, new: Check) -> dict[str, Any]:
    return {
        "id": new.id,
        "unit": new.unit,
        "former": old.measured if old is not None else None,
        "new": new.measured,
        "former_verdict": old.verdict if old is not None else None,
        "new_verdict": new.verdict,
    }


def _state(point: MeasuredState) -> dict[str, Any]:
    return {
        "number": point.number,
        "values": list(point.texts),
        "kind": point.kind,
        "exact": point.exact,
        "problem": point.problem,
        "figures": {gap.check.id: gap.check.measured for gap in point.gaps},
        "mass": point.mass,
        "seconds": round(point.seconds, 3),
    }
