"""Tries a slice of aircraft and tells what came of them; goes on where it was stopped.

cd tests; python -m strangers.run fair 0:100 --record ../out/fair.jsonl --stage solids
"""

import argparse
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path

from strangers.aircraft import aircraft
from strangers.dice import GRADES
from strangers.outcome import TABLE_HEAD, Outcome, append, read, table_row, told
from strangers.trying import CPU, STAGES, mark_of, mark_of_program, tried

import geomgen


def slice_of(text: str) -> range:
    """Return the numbers of a slice.

    >>> slice_of("3:6"), slice_of("17")
    (range(3, 6), range(17, 18))
    """
    low, _, high = text.partition(":")
    return range(int(low), int(high) if high else int(low) + 1)


def run(
    grade: str,
    seeds: Iterable[int],
    record: Path,
    stage: str,
    cpu: int = CPU,
    again: bool = False,
) -> Iterator[Outcome]:
    """Yield what came of each aircraft of a slice, taken from the record where it is known.

    What is known of another text under the same number (the generator changed) is tried again;
    with `again` also what did not build in another state of the program.
    """
    known = {row.seed: row for row in read(record) if (row.grade, row.stage) == (grade, stage)}
    for seed in seeds:
        text = aircraft(grade, seed)
        row = known.get(seed)
        stale = row is not None and row.outcome != "built" and row.program != mark_of_program()
        if row is None or row.text != mark_of(text) or (again and stale):
            row = tried(grade, seed, text, stage, cpu)
            append(record, row)
        yield row


def main(words: list[str]) -> int:
    """Run from the command line."""
    parser = argparse.ArgumentParser(prog="strangers.run", description=__doc__)
    parser.add_argument("grade", choices=GRADES)
    parser.add_argument("seeds", type=slice_of, help="such as 0:100, or 17")
    parser.add_argument("--record", type=Path, default=Path("../out/strangers.jsonl"))
    parser.add_argument("--stage", choices=STAGES, default="whole")
    parser.add_argument("--cpu", type=int, default=CPU, help="limit of processor time [s]")
    parser.add_argument(
        "--again", action="store_true", help="try once more what the code failed before it changed"
    )
    parser.add_argument("--text", action="store_true", help="print the files and try nothing")
    chosen = parser.parse_args(words)
    if chosen.text:
        for seed in chosen.seeds:
            print(aircraft(chosen.grade, seed))
        return 0
    print(f"trying {Path(geomgen.__file__).parent}", flush=True)
    rows = []
    plan = (chosen.grade, chosen.seeds, chosen.record, chosen.stage, chosen.cpu, chosen.again)
    for row in run(*plan):
        rows.append(row)
        print(f"{row.grade} {row.seed}: {row.outcome} {row.cpu:.1f} s {row.reason}", flush=True)
    print("\n" + told(rows) + "\n\n" + TABLE_HEAD + "\n" + table_row(rows))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
