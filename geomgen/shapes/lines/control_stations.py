"""The control stations of pod and boom, as the loft takes them: plain arrays, no kernel."""

import numpy as np

from geomgen.kernel.lofting.lines import Stations, weight_of
from geomgen.parameters.records.aircraft import Parameters

ELLIPSE = 2**0.5 - 1


def pod_stations(p: Parameters) -> Stations:
    """Return the control stations of the pod [mm]."""
    rows = p.pod.stations
    return Stations(
        x=np.array([s.station for s in rows]),
        crown=np.array([s.crown for s in rows]),
        keel=np.array([s.keel for s in rows]),
        half_breadth=np.array([s.breadth / 2 for s in rows]),
        breadth_height=np.array([s.breadth_height for s in rows]),
        weight_upper=np.array([weight_of(s.fullness_upper) for s in rows]),
        weight_lower=np.array([weight_of(s.fullness_lower) for s in rows]),
        nose="round" if p.pod.nose == "round" else "flat",
        tail="round" if p.pod.tail == "round" else "flat",
    )


def boom_stations(p: Parameters) -> Stations:
    """Return the control stations of the right-hand boom, all of them ellipses [mm]."""
    rows = p.booms.stations
    one = np.ones(len(rows))
    middle = np.array([s.waterline for s in rows])
    height = np.array([s.height for s in rows])
    return Stations(
        x=np.array([s.station for s in rows]),
        crown=middle + height / 2,
        keel=middle - height / 2,
        half_breadth=np.array([s.width for s in rows]) / 2,
        breadth_height=middle,
        weight_upper=weight_of(ELLIPSE) * one,
        weight_lower=weight_of(ELLIPSE) * one,
        nose="round" if p.booms.nose == "round" else "flat",
        tail="round" if p.booms.tail == "round" else "flat",
        centre=p.booms.buttock_line,
    )
