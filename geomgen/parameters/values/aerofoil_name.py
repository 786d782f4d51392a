"""Names of aerofoils: NACA digits that can be built, or a file of points."""

import hashlib
import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic.json_schema import JsonSchemaValue

from geomgen.errors import ParameterError
from geomgen.parameters.values.quantities import Reader, clipped


@dataclass(frozen=True)
class Aerofoil(Reader):
    """A section by its NACA digits, or by a file of points beside the parameter file.

    Built are the four-digit sections and the five-digit ones of the plain camber lines.

    >>> Aerofoil().read("naca2412"), Aerofoil().read("NACA 23012"), Aerofoil().read("file:own.dat")
    ('NACA 2412', 'NACA 23012', 'file:own.dat')
    """

    def read(self, value: object) -> str:
        """Return the section's name in one spelling."""
        text = value.strip() if isinstance(value, str) else ""
        if text.startswith("file:"):
            return "file:" + _file_name(text.removeprefix("file:").strip(), text)
        match = re.fullmatch(r"naca[ -]?(\d{4,5})", text, re.IGNORECASE | re.ASCII)
        if match is None:
            raise _no_aerofoil(value, "not an aerofoil")
        digits = match[1]
        problem = _four(digits) if len(digits) == 4 else _five(digits)
        if problem:
            raise _no_aerofoil(value, problem)
        return f"NACA {digits}"

    def describe(self) -> JsonSchemaValue:
        """Return the schema."""
        form = r"^\s*([Nn][Aa][Cc][Aa][ \-]?\d{4,5}|file:.+)\s*$"
        return {"type": "string", "pattern": form, "examples": ["NACA 2412", "file:own.dat"]}


def _four(digits: str) -> str:
    if (digits[0] == "0") != (digits[1] == "0"):
        return "camber and its place are either both 0 or neither"
    if digits[1] != "0" and not 2 <= int(digits[1]) <= 7:
        return "the place of the camber (second digit) is from 2 to 7 tenths of the chord"
    return _thickness(digits)


def _five(digits: str) -> str:
    if digits[2] != "0":
        return "the reflexed camber lines (third digit 1) are not built"
    if not 1 <= int(digits[0]) <= 6 or not 1 <= int(digits[1]) <= 5:
        return "the first digit is from 1 to 6, the second from 1 to 5"
    return _thickness(digits)


def _thickness(digits: str) -> str:
    if 4 <= int(digits[-2:]) <= 30:
        return ""
    return "the thickness (last two digits) is from 04 to 30 per cent"


def _no_aerofoil(value: object, problem: str) -> ParameterError:
    return ParameterError(
        problem,
        written=clipped(value),
        allowed='"NACA" with four or five digits, or "file:" with the name of a file of points',
        advice='write it like "NACA 2412", "NACA 23012" or "file:own.dat"',
    )


def _file_name(name: str, whole: str) -> str:
    parts = name.split("/")
    odd = not name or not name.isprintable() or "\\" in name or ":" in name
    if odd or name.startswith("/") or any(part in ("", ".") for part in parts):
        raise ParameterError(
            "not the name of a file beside the parameter file",
            written=clipped(whole),
            allowed="a file name, with folders between / where needed, from the parameter file on",
        )
    return name


def flat_name(name: str, points: Iterable[Any]) -> str:
    """Return a file name in one folder for an aerofoil file: two of the same stem stay apart.

    >>> flat_name("file:own.dat", []), flat_name("file:../a/own.dat", [])[:4]
    ('own.dat', 'own-')
    """
    file = name.removeprefix("file:").strip()
    if "/" not in file:
        return file
    mark = hashlib.sha256(json.dumps([file, list(points)]).encode()).hexdigest()[:8]
    path = Path(file)
    return f"{path.stem}-{mark}{path.suffix}"
