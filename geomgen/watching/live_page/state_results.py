"""What a builder hands over, one after the other: first answers, verdict, model, drawings."""

from dataclasses import dataclass

from geomgen.pages.mass_diagram import DrawnEnvelope
from geomgen.verdicts.check import Check
from geomgen.verdicts.first import FirstCheck


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
class FirstJudged:
    """First answers about a state; how long they took [s], what was made and kept for them.

    After those that are not `whole` more follow; each has all that is known so far.
    """

    checks: tuple[FirstCheck, ...]
    seconds: float
    made: int = 0
    kept: int = 0
    notices: tuple[str, ...] = ()
    whole: bool = True


@dataclass(frozen=True)
class Modelled:
    """The 3D view as JSON text (`stages.model_text`).

    A `first` one has parts cut by meshes, as the first answers have; the exact one follows.
    """

    text: str
    first: bool = False


@dataclass(frozen=True)
class CaptionedDrawing:
    """A drawing: its caption, its SVG."""

    caption: str
    svg: str


@dataclass(frozen=True)
class DrawnState:
    """The drawings of a state."""

    drawings: tuple[CaptionedDrawing, ...]


StateResult = FirstJudged | Judged | Modelled | DrawnState
