"""What came of an aircraft that was tried: one row of a record, and how rows are told."""

import json
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass, field
from pathlib import Path

from strangers.both_ways import FINAL, WAITS, widths

WORDS = ("built", "refused", "unclear", "hang", "fault", "wrong")
# Outcomes that no aircraft may have, of whatever grade.
NEVER = ("unclear", "hang", "fault", "wrong")
# Of the checks of an aircraft: how many of its openings could not be measured.
SHUT = "blocked or not closed all round"


@dataclass(frozen=True)
class Outcome:
    """What came of one aircraft.

    built; refused, naming a key; unclear: refused without a key; hang: no answer within the limit;
    fault: an error that is none of the program's own; wrong: built, but not what the file says.
    `by` is "input" for a refusal of the file, "geometry" for one of the builder. `cpu` and `wall`
    are seconds. `checks` counts the verdicts; of what is built, `message` names parts that meet.
    `text` and `program` mark the file and the code. `ratios` are bounds of first answers over
    their errors, by figure; None where there was no error.
    """

    grade: str
    seed: int
    stage: str
    text: str
    program: str
    outcome: str
    message: str = ""
    by: str = ""
    cpu: float = 0.0
    wall: float = 0.0
    checks: dict[str, int] = field(default_factory=dict)
    ratios: dict[str, float | None] = field(default_factory=dict)

    @property
    def reason(self) -> str:
        """Return the first line of the message, numbers and names masked, to count alike ones."""
        first = self.message.splitlines()[0] if self.message else ""
        first = re.sub(r"^\S+\.toml(, line \d+)?: ", "", first)
        return re.sub(r"scoop [a-z]+|scoop_[a-z]+", "scoop *", re.sub(r"-?\d[\d.]*", "#", first))


def read(record: Path) -> Iterator[Outcome]:
    """Yield the rows of a record; the last one of an aircraft counts, a torn line does not."""
    rows: dict[tuple[str, int, str], Outcome] = {}
    lines = record.read_text(encoding="utf-8").splitlines() if record.exists() else []
    for line in lines:
        try:
            row = Outcome(**json.loads(line))
        except (ValueError, TypeError):
            continue
        rows[row.grade, row.seed, row.stage] = row
    yield from rows.values()


def append(record: Path, row: Outcome) -> None:
    """Add a row to a record."""
    record.parent.mkdir(parents=True, exist_ok=True)
    with record.open("a", encoding="utf-8") as file:
        file.write(json.dumps(asdict(row), sort_keys=True) + "\n")


def told(rows: Iterable[Outcome]) -> str:
    """Return the share of each outcome and the reasons, the most frequent first, with seeds.

    Where rows come from several states of the program, that is said.
    """
    every = list(rows)
    if not every:
        return "nothing was tried"
    count = Counter(row.outcome for row in every)
    lines = [", ".join(f"{count[w]} {w}" for w in WORDS if count[w]) + f", of {len(every)}"]
    cpu = sorted(row.cpu for row in every)
    lines.append(
        f"processor time: {cpu[len(cpu) // 2]:.1f} s in the middle, {cpu[-1]:.1f} s at most, "
        f"{sum(cpu):.0f} s in all"
    )
    shut = [row.seed for row in every if row.checks.get(SHUT)]
    if shut:
        lines.append(
            f"{len(shut)} with an opening that is blocked or not closed all round  {shut[:12]}"
        )
    both = [row.ratios for row in every if row.ratios]
    if both:
        final, waits = (sum(row.checks.get(k, 0) for row in every) for k in (FINAL, WAITS))
        lines.append(f"first answers: {final} verdicts final, {waits} wait")
        lines.append(widths(both))
    programs = len({row.program for row in every})
    if programs > 1:
        lines.append(f"tried with {programs} states of the program")
    kinds = Counter((row.outcome, row.reason) for row in every if row.outcome != "built")
    for (word, reason), often in kinds.most_common():
        seeds = [r.seed for r in every if (r.outcome, r.reason) == (word, reason)]
        shown = " ".join(str(seed) for seed in seeds[:12])
        lines.append(f"{often:4} {word}: {reason or '(no message)'}  [{shown}]")
    return "\n".join(lines)


def table_row(rows: Iterable[Outcome]) -> str:
    """Return a grade's row for the benchmark page: seeds, shares, seconds.

    Openings are only looked at in the whole aircraft.

    >>> table_row([Outcome("fair", 7, "whole", "", "", "built", cpu=30.0)])
    '| fair | 7 to 7 (1) | whole | 100.0 % | 0.0 % | 0 | 0 | 0 | 0 | 0 | 30 s, 30 s |'
    """
    every = sorted(rows, key=lambda row: row.seed)
    count = Counter(row.outcome for row in every)
    seeds = f"{every[0].seed} to {every[-1].seed} ({len(every)})"
    shares = [f"{100 * count[word] / len(every):.1f} %" for word in WORDS[:2]]
    rest = [str(count[word]) for word in WORDS[2:]]
    shut = sum(bool(row.checks.get(SHUT)) for row in every)
    stage = every[0].stage
    rest.append(str(shut) if stage == "whole" else "not looked at")
    cpu = sorted(row.cpu for row in every)
    seconds = f"{cpu[len(cpu) // 2]:.0f} s, {cpu[-1]:.0f} s"
    return "| " + " | ".join([every[0].grade, seeds, stage, *shares, *rest, seconds]) + " |"


TABLE_HEAD = (
    "| grade | seeds | stage | built | refused, key named | unclear | hang | fault | wrong "
    "| blocked or not closed all round | processor time: middle, most |\n" + "| --- " * 11 + "|"
)
