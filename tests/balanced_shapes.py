"""Planforms and pods as a survey reports them, from plain dimensions, for tests of the balance."""

from dataclasses import asdict
from math import atan, degrees, pi

from geomgen.measurements.planform import TAILPLANE, WING, Planform
from geomgen.measurements.pod_breadths import ID as POD
from geomgen.measurements.record import Measurement


def surface(id_, span, root, tip=None, edge=0.0, sweep=0.0, height=0.0, **more):
    """Return the measurement of a trapezoid; `edge` is the leading edge of its middle [mm].

    `sweep` is how far the tips' quarter points stand aft of the middle's [mm]. In closed form:
    mean chord 2/3 cr (1 + t + t^2)/(1 + t), at (1 + 2 t)/(3 (1 + t)) of the half-span.
    """
    tip = root if tip is None else tip
    taper = tip / root
    area = span * (root + tip) / 2
    mean = 2 / 3 * root * (1 + taper + taper**2) / (1 + taper)
    quarter = edge + root / 4 + sweep * (1 + 2 * taper) / (3 * (1 + taper))
    middle = sweep + (tip - root) / 4
    figures = Planform(
        area=area,
        span=span,
        aspect_ratio=span**2 / area,
        mean_aerodynamic_chord=mean,
        leading_edge_station=quarter - mean / 4,
        leading_edge_waterline=height,
        quarter_station=quarter,
        quarter_waterline=height,
        quarter_chord_sweep=degrees(atan(2 * sweep / span)),
        half_chord_sweep=degrees(atan(2 * middle / span)),
        dihedral=0.0,
        bridged=0.0,
        hidden=0.0,
        missed=0.0,
        askew=0.0,
    )
    further = tuple({**asdict(figures), **more}.items())
    value, unit = (mean, "mm") if id_ == WING else (area, "mm2")
    return Measurement(id_, "", "", value, unit, "", further=further)


def wing(span=8000.0, root=1500.0, tip=900.0, **more):
    return surface(WING, span, root, tip, **more)


def tail(span=2400.0, root=600.0, tip=None, edge=5000.0, **more):
    return surface(TAILPLANE, span, root, tip, edge, **more)


def pod(front=0.0, back=3000.0, breadths=(0.0,) * 40, height=0.0):
    """Return the measurement of a pod by its breadths at even stations."""
    rows = {"front": front, "back": back}
    for i, breadth in enumerate(breadths):
        rows |= {f"breadth {i + 1}": breadth, f"waterline {i + 1}": height}
    return Measurement(POD, "pod", "", max(breadths), "mm", "", further=tuple(rows.items()))


def spindle(length, broad, count=40):
    """Return the breadths of a spheroid at the middles of even strips, and its volume [mm3]."""
    at = [(2 * (i + 0.5) / count - 1.0) for i in range(count)]
    return [broad * (1 - x * x) ** 0.5 for x in at], pi / 6 * length * broad**2
