"""What a terminal shows."""

from geomgen.measurements.record import Measurement
from geomgen.sizing.target import Target
from geomgen.terminal.console import closing
from geomgen.verdicts.judge import judge


def test_what_stops_is_named_at_the_end() -> None:
    rows = [Measurement(f"gap.{k}", "pod", "", 1.0, "mm", "") for k in range(8)]
    limits = [Target(m.id, "", "at least", "mm", low=2.0) for m in rows]
    told = [words.text for words in closing(judge(rows, limits))]
    assert told[1] == "not passed: gap.0, gap.1, gap.2, gap.3, gap.4, gap.5 and 2 more"
    passed = closing(judge(rows[:1], [Target("gap.0", "", "at least", "mm", low=0.5)]))
    assert len(passed) == 2
