"""Pods with frames and stringers, small enough to be made in a moment: ellipses, tapered or not."""

from functools import cache
from pathlib import Path

import numpy as np
from scipy.spatial import cKDTree
from scipy.special import ellipe

from geomgen.kernel.model import Model
from geomgen.parameters import load
from geomgen.parameters.records.structure.framing import FrameSheet, Stringer
from geomgen.shapes.framing.frames import frames
from geomgen.shapes.framing.published import bond_gaps, sheets
from geomgen.shapes.framing.stringers import stringers
from geomgen.shapes.hull import hull, pod_lines

FILE = Path(__file__).parents[1] / "configs" / "saltmarsh.toml"
# Of the pod's outside [mm]: half its breadth and height, its wall, and its middle.
BROAD, HIGH, WALL, MIDDLE = 300.0, 400.0, 4.0, 800.0
SHEET = {"name": "one", "station": "1000 mm", "thickness": "6 mm"}
STRIP = {"name": "strip", "waterline": "800 mm", "start": "500 mm", "end": "1500 mm",
         "width": "20 mm", "depth": "12 mm"}  # fmt: skip


@cache
def example():
    return load(FILE)


def off_ellipse(points, a=BROAD, b=HIGH):
    """Return how far points (n, 2) y, z [mm] are from the pod's outside, an ellipse: many looks."""
    angle = np.linspace(0.0, 2 * np.pi, 200001)
    rim = np.c_[a * np.cos(angle), MIDDLE + b * np.sin(angle)]
    return cKDTree(rim).query(points)[0]


def perimeter(a=BROAD, b=HIGH):
    """Return the length [mm] round an ellipse, by the complete elliptic integral."""
    low, high = sorted((a, b))
    return 4 * high * float(ellipe(1 - (low / high) ** 2))


def inside(off):
    """Return the area [mm2] inside a curve parallel to the pod's ellipse (Steiner)."""
    return np.pi * BROAD * HIGH - perimeter() * off + np.pi * off**2


def pod_of(*rows, taper=0.0):
    """Return parameters with an elliptic pod 2 m long, smaller aft by `taper`, and these rows."""
    p = example()
    first = p.pod.stations[3]
    stations = tuple(
        first.model_copy(
            update={
                "station": x,
                "crown": MIDDLE + s * HIGH,
                "keel": MIDDLE - s * HIGH,
                "breadth": 2 * s * BROAD,
                "breadth_height": MIDDLE,
                "fullness_upper": 2**0.5 - 1,
                "fullness_lower": 2**0.5 - 1,
            }
        )
        for x in (0.0, 500.0, 1000.0, 1500.0, 2000.0)
        for s in (1.0 - taper * x / 2000.0,)
    )
    pod = p.pod.model_copy(
        update={"stations": stations, "nose": "flat", "tail": "flat", "wall": WALL}
    )
    return p.model_copy(
        update={
            "pod": pod,
            "exit": None,
            "scoops": (),
            "propeller": p.propeller.model_copy(update={"waterline": MIDDLE}),
            "frames": tuple(row for row in rows if isinstance(row, FrameSheet)),
            "stringers": tuple(row for row in rows if isinstance(row, Stringer)),
        }
    )


def frame(*openings, **more):
    return FrameSheet.model_validate({**SHEET, "openings": list(openings), **more})


def stringer(**more):
    table = {**STRIP, **more}
    return Stringer.model_validate({k: v for k, v in table.items() if v is not None})


def framed(p):
    """Return frames and stringers of parameters, by name."""
    lines = pod_lines(p)
    return {piece.name: piece for piece in (*frames(p, lines), *stringers(p, lines))}


def model_of(p, **parts):
    """Return the model of pod, frames and stringers; `parts` stand in for some of them."""
    made = {"pod": hull(p, pod_lines(p)), **framed(p)}
    return Model(
        parts={name: parts.get(name, piece.solid) for name, piece in made.items()},
        families={name: piece.family for name, piece in made.items()},
        joint_gaps=tuple(bond_gaps(p)),
        sheets=sheets(p),
    )
