"""Rules between the drawings that are asked for and the aircraft. Clashes, as data."""

from collections.abc import Iterator

from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.rules.clash import FieldClash, mm


def stations_cut_the_pod(p: Parameters) -> Iterator[FieldClash]:
    """Require that each station to draw a section at passes through the pod."""
    first, last = p.pod.stations[0].station, p.pod.stations[-1].station
    for i, station in enumerate(p.drawings.stations):
        if not first < station <= last:
            yield FieldClash(
                ("drawings", "stations", i),
                "the pod has no section there",
                mm(station),
                f"more than {mm(first)}, at most {mm(last)}",
            )


RULES = (stations_cut_the_pod,)
