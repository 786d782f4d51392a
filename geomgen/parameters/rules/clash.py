"""A clash between fields, as data."""

from dataclasses import dataclass

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
    """Render a length [mm].

    >>> mm(1350.0), mm(0.25)
    ('1350 mm', '0.25 mm')
    """
    return f"{round(value, 3):.10g} mm"
