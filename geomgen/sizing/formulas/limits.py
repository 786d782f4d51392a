"""Where a limit comes from: the builder's own threshold, the rule set, or common practice."""

from typing import TYPE_CHECKING, NamedTuple, Protocol

from geomgen.sizing.formulas import clearances
from geomgen.sizing.formulas.clearances import Clearance

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters

UNSAID = "given in the parameter file, no source given"


class HasValue(Protocol):
    """A threshold as the parameter records keep it."""

    @property
    def value(self) -> float:
        """The limit [unit used inside]."""
        ...

    @property
    def source(self) -> str | None:
        """Where the builder took it from."""
        ...


class Limit(NamedTuple):
    """A limit [unit of the check], its source, and what has to be said about it."""

    value: float
    source: str
    notices: tuple[str, ...] = ()


def limit(threshold: HasValue) -> Limit:
    """Return a threshold as a limit with its source in words.

    >>> from geomgen.parameters.values.quantities import Threshold
    >>> limit(Threshold(0.8)).source
    'given in the parameter file, no source given'
    """
    return Limit(threshold.value, threshold.source or UNSAID)


def _against_rule(p: "Parameters", threshold: HasValue | None, rule: Clearance, key: str) -> Limit:
    if threshold is None:
        return Limit(rule.value, rule.source)
    own = limit(threshold)
    if own.value >= rule.value:
        return own
    notice = (
        f"rules.{key} is {own.value:g} mm, less than the {rule.value:g} mm of {rule.source}; "
        f"{clearances.SMALLER[p.rules.clearances]}"
    )
    return own._replace(notices=(notice,))


def radial_clearance(p: "Parameters") -> Limit:
    """Return the least radial clearance of the blade tips [mm]."""
    rule = clearances.radial(p.rules.clearances)
    return _against_rule(p, p.rules.radial_clearance, rule, "radial_clearance")


def axial_clearance(p: "Parameters") -> Limit:
    """Return the least lengthwise clearance of the blades [mm]."""
    rule = clearances.axial(p.rules.clearances)
    return _against_rule(p, p.rules.axial_clearance, rule, "axial_clearance")


def true_clearance(p: "Parameters") -> Limit:
    """Return the least true distance of the swept volume to fixed parts [mm].

    The lesser of the radial and the lengthwise limit: neither rule has words for the corner
    between both.
    """
    least = min(radial_clearance(p), axial_clearance(p), key=lambda limit: limit.value)
    words = "own choice: the lesser of the radial and the lengthwise clearance"
    return Limit(least.value, f"{words} ({least.source})", least.notices)


def ground_clearance(p: "Parameters") -> Limit:
    """Return the least clearance to the ground [mm], gear statically deflected."""
    layout = p.gear.layout if p.gear else "tricycle"
    rule = clearances.ground(p.rules.clearances, layout)
    return _against_rule(p, p.rules.ground_clearance, rule, "ground_clearance")
