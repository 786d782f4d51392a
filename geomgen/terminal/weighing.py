"""What a terminal shows of a weighing: what the scales said, what it did to mass and centre."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from geomgen.documents.record import Block, Row, Table, Tone, Words
from geomgen.documents.screen import Line, lines_of
from geomgen.terminal.console import CAUTIOUS, WIDE
from geomgen.verdicts.check import Check
from geomgen.verdicts.outcome import OUTCOMES

if TYPE_CHECKING:
    from geomgen.balance.masses.inertia import RigidBody
    from geomgen.balance.state import BalanceState
    from geomgen.weighing.compared import ScaleDifference
    from geomgen.weighing.weigh import WeighedState, WeighResult

WORST = ("fail", "not_measured", "warn", "pass")
TONES: dict[str, Tone] = {"fail": "bad", "not_measured": "lost", "warn": "doubt"}


def weighing_lines(result: "WeighResult", quiet: bool = False) -> list[Line]:
    """Return what the scales said, the machine before and after, what was written where.

    Quiet leaves what is to be looked at again, verdicts that are no pass, and the last line.
    """
    from geomgen.comparison.wording import figure_table

    shown = [one for one in result.differences if not (quiet and one.within)]
    told: list[Block] = [_scales(shown)] if shown else []
    if not quiet:
        told += [Words(""), *_written(result), *_machine(result.former, result.new)]
    if not quiet or any(check.verdict != "pass" for check in result.checks):
        figures = [c for c in result.figures if not quiet or _stands_out(c.new)]
        told += [Words(""), figure_table(figures, all_=True)]
    told += [Words(""), Words(_end(result), "head", hang=0), CAUTIOUS]
    return lines_of(told, WIDE)


def _stands_out(check: Check | None) -> bool:
    return check is None or check.verdict != "pass"


def _scales(differences: "Sequence[ScaleDifference]") -> Table:
    rows = []
    for one in differences:
        cells = (
            one.name,
            "-" if one.computed is None else f"{one.computed:.3f}",
            "-" if one.band is None else f"{one.band:.3f}",
            f"{one.scales:.3f}",
            "-" if one.share is None else f"{100 * one.share:+.1f} %",
            one.told,
        )
        rows.append(Row(cells, "" if one.within else "bad", (("before", one.before),)))
    head = ("one piece", "computed kg", "+/- kg", "scales kg", "difference", "")
    return Table(head, tuple(rows), title="What the scales said", numbers=(1, 2, 3, 4))


def _written(result: "WeighResult") -> Iterator[Words]:
    for change in result.changes:
        yield Words(f"{change.key} = {_value(change.value)}")
    if result.blank:
        yield Words(f"not filled in: {', '.join(result.blank)}", "doubt")


def _value(value: object) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{key} = {inside}" for key, inside in value.items())
    return str(value)


def _machine(former: "WeighedState", new: "WeighedState") -> Iterator[Block]:
    """Return the empty machine and every loading, before and after, with its verdict."""
    if new.balance is None:
        return
    before = _bodies(former.balance) if former.balance else {}
    rows = []
    for name, body in _bodies(new.balance).items():
        was, now = _worst(former.loadings.get(name, ())), _worst(new.loadings.get(name, ()))
        told = [OUTCOMES[verdict] for verdict in dict.fromkeys((was, now)) if verdict]
        cells = (
            name,
            *_pair(before.get(name), body, former.balance, new.balance),
            " -> ".join(told) or "-",
        )
        rows.append(Row(cells, TONES.get(now, "")))
    head = ("machine, loading", "kg", "STA mm", "BL mm", "WL mm", "% chord", "verdict")
    yield Words("")
    yield Table(head, tuple(rows), title="What it did: before -> after", numbers=(1, 2, 3, 4, 5))


def _bodies(state: "BalanceState") -> "dict[str, RigidBody]":
    empty = {
        "empty, with all safety devices": state.empty,
        "empty, as a rule counts it": state.limited,
    }
    return {**empty, **{one.loading.name: one.body for one in state.loaded}}


def _pair(
    was: "RigidBody | None",
    now: "RigidBody",
    former: "BalanceState | None",
    new: "BalanceState",
) -> list[str]:
    both: list[tuple[str, ...]] = []
    for body, state in ((was, former), (now, new)):
        if body is None or state is None:
            both.append(("-",) * 5)
            continue
        x, y, z = body.centre
        chord = f"{100 * state.chord.share(x):.1f}" if state.chord else "-"
        places = (f"{place + 0.0:.1f}" for place in (round(x, 1), round(y, 1), round(z, 1)))
        both.append((f"{body.mass:.2f}", *places, chord))
    return [b if a == b else f"{a} -> {b}" for a, b in zip(*both, strict=True)]


def _worst(checks: Sequence[Check]) -> str:
    found = {check.verdict for check in checks}
    return next((verdict for verdict in WORST if verdict in found), "")


def _end(result: "WeighResult") -> str:
    many = len(result.differences)
    again = sum(not one.within for one in result.differences)
    said = f"{many} mass{'' if many == 1 else 'es'} from the scales"
    look = f"; look again at {again} of them" if again else ""
    if not result.changed:
        return f"{said}: {result.file} has them already, nothing was written{look}"
    return f"{said} written into {result.file}{look}"
