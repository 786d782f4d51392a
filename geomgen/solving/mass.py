"""The mass of a state: volume times density of the parts whose density is stated."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from geomgen import units
from geomgen.errors import ParameterError
from geomgen.parameters import Parameters
from geomgen.parameters.records.aircraft import FAMILIES
from geomgen.parameters.values.quantities import clipped

if TYPE_CHECKING:
    from geomgen.regeneration.regenerating import Bodies
    from geomgen.verdicts.check import Check

DENSITY, FIREWALL_MASS = "--density", "firewall.mass"
# Families that a mass can be made of; the propeller's swept volume is no body.
WEIGHED = (*(name for name in FAMILIES if name != "firewall"), "scoop", "spinner")
FORM = "family=density, such as boom=300 kg/m^3"
# kg/m3 times mm3.
TO_KG = 1e-9
Densities = Mapping[str, float]


def densities_of(texts: Sequence[str], p: Parameters) -> dict[str, float]:
    """Return density [kg/m3] by family; ParameterError for families that the file has not."""
    found: dict[str, float] = {}
    for text in texts:
        name, equals, right = (part.strip() for part in text.partition("="))
        if not equals or not right:
            raise ParameterError(
                "not a family with its density", file=DENSITY, written=clipped(text), allowed=FORM
            )
        if name == "firewall":
            raise _refused(name, text, "its density is a key of the file: firewall.density")
        if name not in WEIGHED or not _there(name, p):
            raise _refused(name, text, "no such family of parts in this file")
        if name in found:
            raise _refused(name, text, "stated twice")
        try:
            found[name] = units.parse(right, "density")
        except ParameterError as error:
            raise ParameterError(
                error.problem,
                file=DENSITY,
                key=name,
                written=error.written,
                allowed=error.allowed,
                advice=error.advice,
            ) from error
        if found[name] <= 0:
            raise _refused(name, text, "not more than nothing")
    return found


def _refused(name: str, text: str, problem: str) -> ParameterError:
    allowed = ", ".join(WEIGHED)
    return ParameterError(problem, file=DENSITY, key=name, written=clipped(text), allowed=allowed)


def _there(name: str, p: Parameters) -> bool:
    keys = {"boom": "booms", "fin": "fins", "scoop": "scoops"}
    return getattr(p, keys.get(name, name), None) is not None


def mass_of(p: Parameters, state: "Bodies", densities: Densities) -> float | None:
    """Return the mass [kg] of the firewall and of the families with a density; None if unknown.

    The firewall's is what its check measured.
    """
    checks: Sequence[Check] = getattr(state, "checks", ())
    firewall = next((c.measured for c in checks if c.id == FIREWALL_MASS), None)
    if firewall is None:
        return None
    return firewall + sum(mass_of_family(state, name, rho) for name, rho in densities.items())


def mass_of_family(state: "Bodies", family: str, density: float) -> float:
    """Return the mass [kg] of all parts of a family, solid through and through."""
    from geomgen.kernel.solids.properties import volume

    model = state.model
    names = [name for name, own in model.families.items() if own == family]
    return sum(volume(model.parts[name]).value * density * TO_KG for name in names)


def mass_words(densities: Densities) -> str:
    """Return what the mass is of.

    >>> mass_words({"boom": 300.0})
    'mass of the firewall (its check) and of boom at 300 kg/m^3, volume times density'
    """
    more = ", ".join(f"{name} at {rho:g} kg/m^3" for name, rho in densities.items())
    if not more:
        return "mass of the firewall only, as its check measures it: no other part has a density"
    return f"mass of the firewall (its check) and of {more}, volume times density"
