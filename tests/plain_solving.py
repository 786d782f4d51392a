"""Plain machines to solve: figures that are formulas of the values laid over a file."""

from collections.abc import Callable, Mapping, Sequence

from geomgen.measurements.record import Measurement
from geomgen.sizing.target import Target
from geomgen.solving.search.free import Free, step_of
from geomgen.solving.search.log import Measured, MeasuredState, SearchProblem
from geomgen.solving.search.search import Solved, solve
from geomgen.solving.search.until import KnownFigure, untils_of
from geomgen.studies.vary_key import key_of
from geomgen.verdicts.judge import judge

KEYS = ("scoops.0.height", "scoops.0.width", "pod.wall")
TABLES = {"scoops": [{"name": "cheek"}], "pod": {}}
Formula = Callable[..., float | None]


def free(low: float, high: float, start: float | None = None, n: int = 0, to: str = "0.1 mm"):
    """Return a freed length of the plain machine."""
    return Free(key_of(KEYS[n], TABLES), low, high, step_of(to, "length"), start)


def machine(
    targets: Sequence[Target],
    figures: Mapping[str, Formula],
    present: Sequence[float] = (50.0,),
    mass: Formula | None = None,
    bound: float = 0.0,
):
    """Return what measures the plain machine; a formula may raise GeometryError."""

    def evaluate(lays: Sequence[str]) -> Measured:
        values = list(present)
        for lay in lays:
            name, _, text = lay.partition("=")
            number = key_of(name, TABLES).number(text)
            assert number is not None
            values[KEYS.index(name)] = number
        units = {target.id: target.unit for target in targets}
        rows = [
            Measurement(name, "pod", name, formula(*values), units[name], "formula", bound)
            for name, formula in figures.items()
        ]
        return Measured(tuple(judge(rows, targets)), mass(*values) if mass else None)

    return evaluate


def first_looks(
    targets: Sequence[Target],
    figures: Mapping[str, Formula],
    present: Sequence[float] = (50.0,),
    bound: float = 1.0,
    off: Formula = lambda *values: 0.0,
):
    """Return what gives first answers of the plain machine; `off` is a share [1] of their bound."""
    moved = {
        name: lambda *values, own=formula: own(*values) + bound * off(*values)
        for name, formula in figures.items()
    }
    made = machine(targets, moved, present, bound=bound)

    def look(lays: Sequence[str]) -> Measured:
        checks = made(lays).checks
        waits = (c.id for c in checks if c.margin is None or abs(c.margin) <= bound)
        return Measured(checks, waits=frozenset(waits))

    return look


def solved(
    frees: Sequence[Free],
    untils: Sequence[str],
    targets: Sequence[Target],
    evaluate,
    evaluations: int = 60,
    least_mass: bool = False,
    tell: Callable[[MeasuredState], None] = lambda point: None,
    first=None,
) -> Solved:
    """Solve on a plain machine."""
    known = [KnownFigure(t.id, t.unit, t.comparison) for t in targets]
    asked = SearchProblem(tuple(frees), untils_of(untils, known), least_mass, evaluations)
    return solve(asked, evaluate, tell, first)
