"""What the scales said, as it is typed or stands in a list: `PART = MASS`, each or both."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from geomgen import units
from geomgen.errors import ParameterError
from geomgen.parameters.file_text.source_text import LARGEST, decoded, read_bytes
from geomgen.parameters.records.masses import Mass
from geomgen.parameters.values.quantities import clipped

EACH, BOTH = "each", "both"
HOW = 'write it like boom="3.42 kg each", with kg, g, lb or oz'
_LINE = re.compile(r"\s*(?P<name>[^=]*?[^=\s].*?)\s*=\s*(?P<mass>[^=#]*?)\s*(?:#.*)?")
_PIECES = re.compile(rf"(?P<mass>.*?)\s+(?P<pieces>{EACH}|{BOTH})")


@dataclass(frozen=True)
class ScaleReading:
    """What the scales said: of what, the mass of one piece as text and as number [kg].

    `pieces` says what was on them: `each` for one of a pair, `both` for the two together, nothing
    where there is one; `said` is the text as given, `line` that of its list.
    """

    name: str
    said: str
    written: str
    mass: float
    pieces: str = ""
    file: str | None = None
    line: int | None = None

    def refused(
        self, problem: str, allowed: str | None = None, advice: str | None = None
    ) -> ParameterError:
        """Return a refusal of this reading, with where it stands."""
        return ParameterError(
            problem,
            file=self.file,
            line=self.line,
            key=self.name,
            written=self.said,
            allowed=allowed,
            advice=advice,
        )


def typed_readings(texts: Sequence[str]) -> list[ScaleReading]:
    """Return the readings of a command line; ParameterError for text of another form.

    >>> typed_readings(["pod=21 lb", "boom=3.5 kg both"])[1].written
    '1.75 kg'
    """
    return [_reading(text, None, None) for text in texts]


def listed_readings(path: Path) -> tuple[list[ScaleReading], list[str]]:
    """Return the readings of a list, a line each, and the names of which nothing is filled in.

    Blank lines and what stands behind # are left out. ParameterError for a line of another form.
    """
    text = decoded(read_bytes(path, LARGEST, "a list of masses"), path)
    found, blank = [], []
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        match = _LINE.fullmatch(line)
        if match is not None and not match["mass"].strip("_ "):
            blank.append(match["name"])
        else:
            found.append(_reading(line, path.name, number))
    return found, blank


def _reading(text: str, file: str | None, line: int | None) -> ScaleReading:
    match = _LINE.fullmatch(text)
    if match is None or not match["mass"]:
        raise ParameterError(
            "not a part with its mass", file=file, line=line, written=clipped(text),
            allowed="a part or an item, an equals sign, what the scales said with its unit",
            advice=HOW,
        )  # fmt: skip
    name, said = match["name"], match["mass"]
    parted = _PIECES.fullmatch(said)
    pieces, mass = (parted["pieces"], parted["mass"]) if parted else ("", said)
    try:
        written = _of_one(mass, pieces)
        number = Mass.read(written)
    except ParameterError as error:
        raise ParameterError(
            error.problem, file=file, line=line, key=name, written=error.written,
            allowed=error.allowed, advice=error.advice or HOW,
        ) from error  # fmt: skip
    return ScaleReading(name, said, written, number, pieces, file, line)


def _of_one(text: str, pieces: str) -> str:
    """Return the mass of one piece as a file has it; ParameterError for none.

    >>> _of_one("3.42kg", ""), _of_one("7 lb", "both"), _of_one("1/2 lb", "each")
    ('3.42 kg', '3.5 lb', '1/2 lb')
    """
    kilograms = units.parse(text, "mass")
    if kilograms <= 0.0:
        problem = "a negative mass" if kilograms < 0.0 else "a mass of zero"
        raise ParameterError(problem, written=text, allowed="more than 0", advice="weigh it again")
    apart = units.taken_apart(text, "mass")
    assert apart is not None
    number, unit = apart
    if pieces != BOTH:
        return f"{number} {unit}"
    if "/" in number:
        return units.written(kilograms / 2, "mass")
    return f"{Decimal(number) / 2:f} {unit}"
