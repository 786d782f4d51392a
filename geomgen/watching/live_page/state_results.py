"""What a builder hands over, one after the other: the verdict, then the model, then drawings."""

from dataclasses import dataclass

from geomgen.pages.mass_diagram import DrawnEnvelope
from geomgen.verdicts.check import Check


@dataclass(frozen=True)
class Judged:
    """The checks of a state; how long they took [s]; how much was made now, how much was kept.

    `envelope` are all loadings with their limits, where the file says what things weigh.
    """

    checks: tuple[Check, ...]
    seconds: float
    made: int = 0
    kept: int = 0
    notices: tuple[str, ...] = ()
    envelope: DrawnEnvelope | None = None


@dataclass(frozen=True)
class Modelled:
    """The 3D view as JSON text (`stages.model_text`)."""

    text: str


@dataclass(frozen=True)
class CaptionedDrawing:
    """A drawing: its caption, its SVG."""

    caption: str
    svg: str


@dataclass(frozen=True)
class DrawnState:
    """The drawings of a state."""

    drawings: tuple[CaptionedDrawing, ...]


StateResult = Judged | Modelled | DrawnState
