"""Loadings: who and what is carried, in all combinations of the extremes and by name."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from geomgen.balance.masses.entries import PER_LITRE, at_level
from geomgen.balance.masses.inertia import RigidBody, together
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.loads import Loads, PilotMass
from geomgen.parameters.records.masses import Tank


@dataclass(frozen=True)
class Loading:
    """One loading: what it is called, and all that is in it besides the empty machine [kg, mm].

    `named` says that the file gives it, otherwise it is one of the extremes.
    """

    name: str
    bodies: tuple[tuple[str, RigidBody], ...]
    named: bool = False

    def with_(self, empty: RigidBody) -> RigidBody:
        """Return the whole machine in this loading [kg, mm]."""
        return together([empty, *(body for _, body in self.bodies)])


def loadings(p: Parameters, carried: tuple[tuple[str, RigidBody], ...] = ()) -> list[Loading]:
    """Return every combination of the extremes, then those that the file names.

    `carried` are items that are in no empty mass [kg, mm]: with them and without. Without loads
    there are none.
    """
    if p.loads is None:
        return []
    return [*_extremes(p, p.loads, carried), *_cases(p, p.loads, carried)]


def _extremes(
    p: Parameters, loads: Loads, carried: tuple[tuple[str, RigidBody], ...]
) -> Iterator[Loading]:
    bags = (0.0, 1.0) if loads.baggage or carried else (0.0,)
    fills = list(product(*map(_shares, p.tanks)))
    loaded = [fill for fill in product(bags, repeat=len(loads.baggage) + len(carried))]
    for pilot, fill, load in product(loads.pilots, fills, loaded):
        places, items = load[: len(loads.baggage)], load[len(loads.baggage) :]
        bodies = [
            *_pilot(loads, pilot),
            *_fuel(p.tanks, fill),
            *_baggage(loads, places),
            *(own for own, share in zip(carried, items, strict=True) if share),
        ]
        words = [pilot.name, *_fuel_words(p.tanks, fill), *_load_words(loads, carried, load)]
        yield Loading(", ".join(words), tuple(bodies))


def _cases(
    p: Parameters, loads: Loads, carried: tuple[tuple[str, RigidBody], ...]
) -> Iterator[Loading]:
    pilots = {pilot.name: pilot for pilot in loads.pilots}
    for case in loads.cases:
        bodies = [
            *_pilot(loads, pilots[case.pilot]),
            *_fuel(p.tanks, (case.fuel,) * len(p.tanks)),
            *_baggage(loads, (case.baggage,) * len(loads.baggage)),
            *(carried if case.baggage else ()),
        ]
        yield Loading(case.name, tuple(bodies), named=True)


def _pilot(loads: Loads, pilot: PilotMass) -> Iterator[tuple[str, RigidBody]]:
    yield f"pilot, {pilot.name}", RigidBody(pilot.mass, (loads.station, 0.0, loads.waterline))
    if pilot.ballast and loads.ballast_station is not None:
        high = loads.waterline if loads.ballast_waterline is None else loads.ballast_waterline
        yield "ballast", RigidBody(pilot.ballast, (loads.ballast_station, 0.0, high))


def _fuel(tanks: tuple[Tank, ...], shares: tuple[float, ...]) -> Iterator[tuple[str, RigidBody]]:
    """Return the usable fuel at shares [1] of full, each tank's where its level puts it.

    What can't be used is in the empty machine, at the last fuel's place.
    """
    for tank, share in zip(tanks, shares, strict=True):
        if not share:
            continue
        mass = PER_LITRE / 1000 * tank.density * share * tank.usable
        yield f"fuel, {tank.name}", RigidBody(mass, at_level(tank, share))


def _baggage(loads: Loads, shares: tuple[float, ...]) -> Iterator[tuple[str, RigidBody]]:
    for place, share in zip(loads.baggage, shares, strict=True):
        if share:
            at = (place.station, place.buttock_line, place.waterline)
            yield place.name, RigidBody(share * place.most, at)


def _shares(tank: Tank) -> tuple[float, ...]:
    """Return the shares of full [1] to look at: where the fuel moves, the worst may lie between."""
    moves = tank.low_station not in (None, tank.station)
    return (0.0, 0.25, 0.5, 0.75, 1.0) if moves else (0.0, 1.0)


def _fuel_words(tanks: tuple[Tank, ...], fill: tuple[float, ...]) -> Iterator[str]:
    if not tanks:
        return
    if len(set(fill)) == 1:
        yield {0.0: "no fuel", 1.0: "full fuel"}.get(fill[0], f"{fill[0]:.0%} fuel")
        return
    told = [f"{t.name} {share:.0%}" for t, share in zip(tanks, fill, strict=True) if share]
    yield f"fuel: {', '.join(told)}"


def _load_words(
    loads: Loads, carried: tuple[tuple[str, RigidBody], ...], shares: tuple[float, ...]
) -> Iterator[str]:
    names = [*(place.name for place in loads.baggage), *(name for name, _ in carried)]
    if names:
        yield from (
            [name for name, share in zip(names, shares, strict=True) if share] or ["no baggage"]
        )
