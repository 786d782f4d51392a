"""What is written into the parameter file for masses from the scales, and the text with it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from geomgen import units
from geomgen.balance.masses.entries import SCALES
from geomgen.errors import ParameterError
from geomgen.parameters.editing.rewriting import rewritten, with_rows
from geomgen.parameters.reading.written_key import at
from geomgen.parameters.records.aircraft import Parameters
from geomgen.weighing.target import ITEM, MASS, ScaleTarget

# Stands before where density or skin of a part come from, once its weight has another source.
MADE_OF = "; its material: "
LONGEST = 300
SOURCE = "--source"
# Of these a row says what a part is made of: a part that gets a row of its own keeps them.
KEPT = ("material", "density", "wall", "laminate", "skin", "band")


@dataclass(frozen=True)
class FileChange:
    """A key of the file with what is written there; `row` is a whole new row of `mass`."""

    key: str
    value: Any
    row: bool = False


def file_changes(
    p: Parameters, tables: Mapping[str, Any], targets: Sequence[ScaleTarget], source: str
) -> list[FileChange]:
    """Return what the readings change in a file with these records and tables.

    ParameterError for a source that is none, or is longer than a file may hold.
    """
    words = " ".join(source.split())
    if not any(letter.isalnum() for letter in words):
        raise ParameterError(
            "nothing says which scales, and when", key=SOURCE, written=repr(source),
            allowed="a few words", advice="--source 'own scales, 29 November'",
        )  # fmt: skip
    return [change for target in targets for change in _changes(p, tables, target, words)]


def changed_text(
    text: str, changes: Sequence[FileChange], inherited: Mapping[str, Any], file: str
) -> str:
    """Return the text of a file with the changes; comments, order and spacing stay.

    ParameterError where they can't be put into it.
    """
    values = {change.key: change.value for change in changes if not change.row}
    made = rewritten(text, values, inherited=inherited, file=file)
    rows = [change.value for change in changes if change.row]
    return with_rows(made, MASS, rows, inherited=inherited, file=file)


def _changes(
    p: Parameters, tables: Mapping[str, Any], target: ScaleTarget, words: str
) -> list[FileChange]:
    written = target.reading.written
    if target.table == ITEM:
        return _of_item(p, tables, target, words)
    if target.row is None:
        row: dict[str, Any] = {"part": target.name}
        former: Any = {} if target.like is None else at(tables, (MASS, target.like))
        row |= {key: former[key] for key in KEPT if key in former}
        row["weighed"] = written
        row["source"] = _source(target, words, None if target.like is None else p.mass[target.like])
        return [FileChange(f"{MASS}, a new entry for {target.name}", row, True)]
    head = f"{MASS}.{target.row}"
    source = _source(target, words, p.mass[target.row])
    return [FileChange(f"{head}.weighed", written), FileChange(f"{head}.source", source)]


def _source(target: ScaleTarget, words: str, row: Any) -> str:
    """Return the source of a weight, and behind it that of the material, which stays worth knowing.

    What the scales said before is replaced.
    """
    former = "" if row is None or row.source is None else row.source
    if row is not None and row.weighed is not None:
        former = former.partition(MADE_OF)[2]
    whole = f"{words}{MADE_OF}{former}" if former else words
    if len(whole) > LONGEST:
        raise ParameterError(
            f"with the source that {target.name} has, longer than a file may hold", key=SOURCE,
            written=f"{whole[:60]} ... ({len(whole)} characters)",
            allowed=f"up to {LONGEST} characters", advice="shorten one of the two",
        )  # fmt: skip
    return whole


def _of_item(
    p: Parameters, tables: Mapping[str, Any], target: ScaleTarget, words: str
) -> list[FileChange]:
    """Return mass, source and, where it had one, the band of an item: that of scales, or less."""
    assert target.row is not None
    head, item = f"{ITEM}.{target.row}", p.items[target.row]
    made = [FileChange(f"{head}.mass", target.reading.written)]
    scales = round(SCALES * target.reading.mass, 6)
    if item.band > scales:
        made.append(FileChange(f"{head}.band", units.written(scales, "mass")))
    return [*made, FileChange(f"{head}.source", words)]
