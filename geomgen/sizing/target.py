"""What a figure should be: limits, the formula they come from, and the source."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

Comparison = Literal[
    "at least", "more than", "at most", "less than", "between", "equal", "one of", "none"
]
Severity = Literal["fail", "warn", "info"]


@dataclass(frozen=True)
class Target:
    """The limits for one check.

    `low`/`high` are in `unit` (mm, mm2, kg, deg, 1, m/s), either may be None. `id` equals the id
    of the measurement it judges; an id that ends in `.*` stands for the id before it and every id
    that begins so. `more than` and `less than` differ from `at least` and `at most` in that the
    limit itself fails. `none` sets no limit: its figure ends in a warning with the notices as its
    note. `band` is the range of the limit that follows from the uncertain inputs. `written_word`
    and `allowed_words` are for a check that compares names, not numbers (a material); several
    names stand between commas, and `inputs` then says which name was written where. `severity`
    warn: a miss warns, and a figure that could not be measured does not stop the whole; info:
    without a limit, only to be read. Inside the limits a figure below `wanted` or above `usual`
    warns: what uncertain inputs ask for as they
    stand, and what is seldom exceeded. `hopeless` says why no figure at all will do, `advice` which
    keys to change where it fails. `if_any` is for what a sound machine need not have: where nothing
    of the kind stands in the model there is no check. `shut` is what a broken figure means, where
    it is not that of an opening. `unsure` is for what is computed and not measured: beyond its
    limit by less than its error bound it warns.
    """

    id: str
    what: str
    comparison: Comparison
    unit: str
    low: float | None = None
    high: float | None = None
    formula: str = ""
    inputs: tuple[tuple[str, str], ...] = ()
    band: tuple[float, float] | None = None
    source: str = ""
    severity: Severity = "fail"
    written_word: str = ""
    allowed_words: tuple[str, ...] = ()
    notices: tuple[str, ...] = ()
    wanted: float | None = None
    usual: float | None = None
    hopeless: str = ""
    advice: str = ""
    if_any: bool = False
    unsure: bool = False
    shut: str = ""


@dataclass(frozen=True)
class Conversion:
    """How a measured figure becomes the one that a target judges (a radius a Mach number).

    It takes measurements of `of` in `of_unit`; `apply` must rise or fall all the way, so that the
    error bound can be carried through it.
    """

    of: str
    of_unit: str
    id: str
    what: str
    unit: str
    apply: Callable[[float], float]
    method: str
