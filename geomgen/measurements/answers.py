"""Answers as plain values: records as rows, and what the kernel could not do as an answer too."""

from collections.abc import Callable, Mapping
from dataclasses import asdict
from typing import Any

from geomgen.errors import GeometryError
from geomgen.kernel.plain import vec
from geomgen.measurements.question import Answer
from geomgen.measurements.record import Measurement


def rows(measure: Callable[[], list[Measurement]]) -> Answer:
    """Measure; what the kernel can't do becomes an answer that says why."""
    try:
        return [asdict(m) for m in measure()]
    except GeometryError as error:
        return refused(error)


def refused(error: GeometryError) -> Answer:
    """Return the answer that says what the kernel could not do."""
    return {"part": error.part, "refused": str(error)}


def said_no(answer: Answer) -> bool:
    """Say whether an answer is one of `refused`."""
    return isinstance(answer, dict) and "refused" in answer


def joined_rows(id_: str, unit: str, answer: Answer) -> list[Measurement]:
    """Return an answer's records, one without a value when it was refused."""
    if answer is None:
        return []
    return [missing(id_, unit, answer)] if said_no(answer) else [record_of(row) for row in answer]


def missing(id_: str, unit: str, answer: Answer) -> Measurement:
    """Return the record of what could not be measured, with the reason."""
    why = str(answer["refused"])
    return Measurement(id_, answer["part"], "could not be measured", None, unit, "", note=why)


def record_of(row: Mapping[str, Any]) -> Measurement:
    """Return the record that a row stands for: JSON makes lists of what were tuples.

    >>> from geomgen.measurements.question import from_text, text_of
    >>> volume = Measurement("v", "pod", "", 8.0, "mm3", "", points=((1.0, 2.0, 3.0),),
    ...     further=(("area", 24.0),), rows=(("sides", (2.0, 2.0)),))
    >>> record_of(from_text(text_of(asdict(volume)))) == volume
    True
    """
    points = tuple(vec(point) for point in row["points"])
    further = tuple((str(name), float(value)) for name, value in row["further"])
    rows = tuple((str(name), tuple(map(float, each))) for name, each in row["rows"])
    return Measurement(**{**row, "points": points, "further": further, "rows": rows})
