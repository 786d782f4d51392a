"""A clash between fields, as data."""

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from geomgen.parameters.file_text.positions import Path


@dataclass(frozen=True)
class FieldClash:
    """Two values that can't both hold: the key to look at, what stands there, what would do.

    `by` are the other keys that set the limit: one of them may be changed instead.
    """

    path: Path
    problem: str
    written: str
    allowed: str
    advice: str | None = None
    by: tuple[Path, ...] = ()


def mm(value: float) -> str:
    """Render a length [mm], without the noise of a computer's sums alone.

    To three decimals it is rounded where it is told, a limit to the side that is allowed.

    >>> mm(1350.0), mm(1.190625), mm(0.1 + 0.2)
    ('1350 mm', '1.190625 mm', '0.3 mm')
    """
    return f"{value:.10g} mm"


def perhaps(name: str, known: Iterable[str]) -> str | None:
    """Return the nearest of known names as advice; None where none is near.

    >>> perhaps("podd", ["pod", "wing"]), perhaps("keel", ["pod", "wing"])
    ('perhaps pod?', None)
    """
    near = get_close_matches(name, list(known), 1, 0.6)
    return f"perhaps {near[0]}?" if near else None
