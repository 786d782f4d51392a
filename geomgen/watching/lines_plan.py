"""The lines plan of the live page: the very lines that pod and booms are lofted on, as points.

Asked for with changes that are not in the file yet, it tells what the loft would be with them.
"""

import copy
from collections.abc import Mapping, Sequence
from math import cos, radians, tan
from pathlib import Path
from typing import Any

import numpy as np
from scipy.interpolate import BSpline

from geomgen.arrays import Floats
from geomgen.errors import ParameterError
from geomgen.kernel.lofting.lines import Lines, Stations, lay
from geomgen.parameters import Parameters
from geomgen.parameters.editing.field_list import fields_of
from geomgen.parameters.editing.typed_values import path_of, typed
from geomgen.parameters.reading.inheritance import read_with_bases
from geomgen.parameters.reading.loading import records_of
from geomgen.parameters.reading.overrides import apply
from geomgen.parameters.reading.written_key import put
from geomgen.parameters.records.lifting import Wing
from geomgen.shapes.lines.control_stations import boom_stations, pod_stations

# Points along a line, between two stations at least so many; points of a quadrant of a section.
ALONG, BETWEEN, ROUND = 140, 4, 13
# A section smaller than this [mm] is a point, and nothing to draw.
POINT = 1.0
# Which line is drawn over the stations in which view: side view or plan.
DRAWN = ("crown", "keel", "breadth_height", "half_breadth")


def asked_lines(
    file: Path, overrides: Sequence[str] = (), changes: Mapping[str, str] | None = None
) -> dict[str, Any]:
    """Return the lines of a file's bodies [mm, 1/mm], with `changes` of its values laid over it.

    ParameterError where file or changes are refused, GeometryError where no lines can be laid.
    """
    tables, origins = read_with_bases(file)
    apply(tables, origins, list(overrides))
    if changes:
        p = records_of(copy.deepcopy(tables), dict(origins), file.parent)
        fields = {field.key: field for field in fields_of(p, tables, origins)}
        for key, text in changes.items():
            if key not in fields:
                raise ParameterError("there is no such field", key=key[:200])
            put(tables, path_of(fields[key]), typed(fields[key], text))
    return lines_of(records_of(tables, origins, file.parent))


def lines_of(p: Parameters) -> dict[str, Any]:
    """Return the lines of pod, right-hand boom and wing [mm, 1/mm, deg] as plain values.

    >>> import geomgen
    >>> pod = lines_of(geomgen.load("configs/saltmarsh.toml"))["pod"]
    >>> pod["stations"][4]["crown"], len(pod["sections"]) == len(pod["stations"])
    (1222.0, True)
    """
    return {
        "pod": body_lines(pod_stations(p), "pod"),
        "booms": body_lines(boom_stations(p), "booms"),
        "wing": planform(p.wing),
    }


def planform(wing: Wing) -> dict[str, Any]:
    """Return the right-hand sections of a wing as seen from above [mm, deg], from the centre out.

    `nose`, `quarter` and `edge` are the stations of leading edge, quarter chord and trailing edge;
    they run straight from section to section. The blunt edge's thickness is left out.
    """
    found: list[dict[str, float]] = []
    for row in wing.sections:
        level = cos(radians(wing.incidence - row.washout))
        quarter = wing.leading_edge + level * row.chord / 4
        if found:
            out = row.buttock_line - found[-1]["y"]
            quarter = found[-1]["quarter"] + out * tan(radians(row.sweep))
        places = {"nose": quarter - level * row.chord / 4, "quarter": quarter}
        places |= {"edge": quarter + 3 * level * row.chord / 4, "level": level}
        found.append({"y": row.buttock_line, "chord": row.chord, "sweep": row.sweep, **places})
    return {"stations": found, "ends": ["flat", "flat"], "held": []}


def body_lines(stations: Stations, part: str) -> dict[str, Any]:
    """Return lines, curvature and sections of a body [mm, 1/mm]; GeometryError if there are none.

    `x` and each line are of one length; a section runs from crown to keel, empty where it is a
    point.
    """
    lines = lay(stations, part)
    at = np.array([lines.at_station(float(x)) for x in stations.x])
    v = _places(lines, at)
    curves = lines.curves
    return {
        "stations": [_station(stations, i) for i in range(len(stations.x))],
        "ends": [stations.nose, stations.tail],
        "x": _rounded(lines.station(v), 2),
        **{name: _rounded(curves[name](v), 3) for name in DRAWN},
        "curvature": {
            "crown": _rounded(-curvature(lines.station, curves["crown"], v), 8),
            "keel": _rounded(curvature(lines.station, curves["keel"], v), 8),
            "half_breadth": _rounded(-curvature(lines.station, curves["half_breadth"], v), 8),
        },
        "sections": [_section(lines, stations, i) for i in range(len(stations.x))],
        "held": [[h.line, h.start, h.end, round(h.by, 2)] for h in lines.held],
    }


def _places(lines: Lines, at: Floats) -> Floats:
    """Return the parameters that lines are drawn at: even ones, and those of the stations."""
    low, high = lines.v_range
    between = [np.linspace(a, b, BETWEEN + 2)[1:-1] for a, b in zip(at[:-1], at[1:], strict=True)]
    every = np.unique(np.r_[np.linspace(low, high, ALONG), at, np.concatenate(between)])
    return np.asarray(every[(every >= low) & (every <= high)])


def curvature(x: BSpline, y: BSpline, v: Floats) -> Floats:
    """Return the curvature [1/mm] of the plane curve x, y [mm] at parameters (n,).

    It is positive where the curve turns to larger y. Closed form of a plane curve.

    >>> line = BSpline([0, 0, 0, 1, 1, 1], [0.0, 0.5, 1.0], 2)
    >>> bow = BSpline([0, 0, 0, 1, 1, 1], [0.0, 0.0, 1.0], 2)
    >>> float(curvature(line, bow, np.array([0.0]))[0])
    2.0
    """
    dx, dy = x(v, 1), y(v, 1)
    bend = dx * y(v, 2) - dy * x(v, 2)
    speed = np.hypot(dx, dy)
    return np.asarray(np.where(speed > 1e-9, bend / np.maximum(speed, 1e-9) ** 3, 0.0))


def _station(stations: Stations, i: int) -> dict[str, float]:
    upper, lower = float(stations.weight_upper[i]), float(stations.weight_lower[i])
    names = ("x", "crown", "keel", "half_breadth", "breadth_height")
    figures = {name: round(float(getattr(stations, name)[i]), 3) for name in names}
    # A weight is rho / (1 - rho).
    fullness = {"fullness_upper": upper / (1 + upper), "fullness_lower": lower / (1 + lower)}
    return figures | {name: round(value, 5) for name, value in fullness.items()}


def _section(lines: Lines, stations: Stations, i: int) -> list[list[float]]:
    """Return the right-hand half section at a station (k, 2) y, z from crown to keel [mm]."""
    if min(stations.half_breadth[i], stations.crown[i] - stations.keel[i]) < POINT:
        return []
    points = lines.section(float(stations.x[i]), ROUND)
    points[:, 0] -= lines.centre
    return [[round(float(y), 2), round(float(z), 2)] for y, z in points]


def _rounded(values: Floats, digits: int) -> list[float]:
    return [float(v) for v in np.round(values, digits) + 0.0]
