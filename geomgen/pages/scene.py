"""What stands in the 3D view of the page, as plain records and as traces for the viewer.

The viewer is plotly.js (MIT); its traces are plain JSON, typed arrays in base64.
"""

import base64
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.documents.pressure_bands import MOUTH, UNSURE, colours, css, edges

Vec3 = tuple[float, float, float]
# Calm light without hard shine, so that a shape reads in grey as well.
LIGHT = {
    "ambient": 0.5,
    "diffuse": 0.75,
    "specular": 0.08,
    "roughness": 0.7,
    "fresnel": 0.05,
    "vertexnormalsepsilon": 0,
    "facenormalsepsilon": 0,
}
FLAT = {"ambient": 1, "diffuse": 0, "specular": 0, "fresnel": 0}
FADED = 0.28
# Room round the model, as a share of its longest side.
AROUND = 0.02


@dataclass(frozen=True)
class ScenePart:
    """A part: points (n, 3) [mm], triangles (m, 3), colour (0 to 1), whether it is see-through.

    `drawn` are lines (n, 3) [mm] on its skin. What is `inside` stays full where the skins are made
    see-through.
    """

    name: str
    points: Floats
    triangles: Ints
    colour: Vec3
    faded: bool = False
    drawn: tuple[Floats, ...] = ()
    inside: bool = False


@dataclass(frozen=True)
class ShownDistance:
    """A measured distance: the check's id, its two closest points [mm], the figure as text."""

    id: str
    ends: tuple[Vec3, Vec3]
    text: str


@dataclass(frozen=True)
class FilledOpening:
    """A measured opening: the check's id, what fills it, its middle [mm], the figure as text.

    It is filled by triangles (m, 3) of points (n, 3) [mm].
    """

    id: str
    points: Floats
    triangles: Ints
    middle: Vec3
    text: str


@dataclass(frozen=True)
class PressedBody:
    """A body of panels: its points (n, 3) [mm], triangles (m, 3), what each is, pressures [1].

    `parts` are felt as this body. `kinds` (m,) are 0 where a pressure is told, 1 where it is cut
    short, 2 where air goes in; `pressures` (m,) by state.
    """

    name: str
    parts: tuple[str, ...]
    points: Floats
    triangles: Ints
    kinds: Ints
    pressures: dict[str, Floats]


@dataclass(frozen=True)
class PageScene:
    """Everything in the view; `speeds` [m/s] of the states that `pressed` tells pressures of."""

    bodies: tuple[ScenePart, ...]
    spans: tuple[ShownDistance, ...] = ()
    openings: tuple[FilledOpening, ...] = ()
    pressed: tuple[PressedBody, ...] = ()
    speeds: tuple[tuple[str, float], ...] = ()

    @property
    def has_inside(self) -> bool:
        """Say whether something stands inside the skins."""
        return any(body.inside for body in self.bodies)

    def box(self) -> tuple[Vec3, Vec3]:
        """Return the lowest and highest corner [mm] of the bodies."""
        lows = np.min([body.points.min(axis=0) for body in self.bodies], axis=0)
        highs = np.max([body.points.max(axis=0) for body in self.bodies], axis=0)
        return tuple(lows.tolist()), tuple(highs.tolist())


def traces(scene: PageScene) -> list[dict[str, Any]]:
    """Return the viewer's traces; `meta` says which part or check each one is."""
    return [
        *(_body(body) for body in scene.bodies),
        *(_lines(body) for body in scene.bodies if body.drawn),
        *(_filled(opening) for opening in scene.openings),
        *(_span(span) for span in scene.spans),
        *(trace for body in scene.pressed for trace in _pressed(body)),
    ]


def room(scene: PageScene) -> dict[str, Any]:
    """Return the axes' ranges [mm] and the proportions of the view: one millimetre is one."""
    lows, highs = (np.array(corner) for corner in scene.box())
    longest = float((highs - lows).max())
    lows, highs = lows - AROUND * longest, highs + AROUND * longest
    sides = highs - lows
    made: dict[str, Any] = {"longest": float(sides.max()), "middle": ((lows + highs) / 2).tolist()}
    for i, axis in enumerate("xyz"):
        made[axis] = {"range": [float(lows[i]), float(highs[i])], "share": sides[i] / sides.max()}
    return made


def _mesh(points: Floats, triangles: Ints) -> dict[str, Any]:
    corners = triangles.astype("<u4")
    placed = points.astype("<f4")
    made: dict[str, Any] = {"type": "mesh3d", "hoverinfo": "skip", "showlegend": False}
    made |= {axis: _packed(placed[:, i], "f4") for i, axis in enumerate("xyz")}
    return made | {axis: _packed(corners[:, i], "u4") for i, axis in enumerate("ijk")}


def _packed(values: Any, kind: str) -> dict[str, str]:
    data = base64.b64encode(np.ascontiguousarray(values).tobytes()).decode("ascii")
    return {"dtype": kind, "bdata": data}


def _body(body: ScenePart) -> dict[str, Any]:
    return _mesh(body.points, body.triangles) | {
        "name": body.name,
        "color": "rgb(" + ",".join(str(round(255 * c)) for c in body.colour) + ")",
        "opacity": FADED if body.faded else 1,
        "lighting": LIGHT,
        "meta": {"part": body.name, **({"inside": True} if body.inside else {})},
    }


def _lines(body: ScenePart) -> dict[str, Any]:
    made: dict[str, Any] = {
        "type": "scatter3d",
        "mode": "lines",
        "name": f"lines on {body.name}",
        "hoverinfo": "skip",
        "showlegend": False,
        "line": {"width": 3, "color": "rgb(60,66,74)"},
        "meta": {"part": body.name, **({"inside": True} if body.inside else {})},
    }
    # Nothing between two lines: the pen is lifted there.
    return made | {
        axis: [v for line in body.drawn for v in (*line[:, i].round(2).tolist(), None)]
        for i, axis in enumerate("xyz")
    }


def _filled(opening: FilledOpening) -> dict[str, Any]:
    return _mesh(opening.points, opening.triangles) | {
        "name": opening.id,
        "color": "rgb(214,93,14)",
        "opacity": 1,
        "lighting": {"ambient": 1, "diffuse": 0, "specular": 0},
        "meta": {"check": opening.id, "kind": "opening", "text": opening.text},
    }


def _pressed(body: PressedBody) -> Iterator[dict[str, Any]]:
    """Return a body's triangles with pressures, and those where none is told or air goes in.

    Hidden until a state is asked for; what that state's values are stands in `meta`.
    """
    shown = {"visible": False, "opacity": 1, "lighting": FLAT, "name": f"pressure on {body.name}"}
    told = body.kinds == 0
    if told.any():
        states = {s: _packed(v[told].astype("<f4"), "f4") for s, v in body.pressures.items()}
        yield (
            _mesh(body.points, body.triangles[told])
            | shown
            | {
                "intensity": next(iter(states.values())),
                "intensitymode": "cell",
                "colorscale": _steps(),
                "cmin": edges()[0],
                "cmax": edges()[-1],
                "showscale": False,
                "meta": {"pressed": body.name, "parts": list(body.parts), "states": states},
            }
        )
    for kind, colour in ((1, UNSURE), (2, MOUTH)):
        of = body.kinds == kind
        if of.any():
            yield (
                _mesh(body.points, body.triangles[of])
                | shown
                | {
                    "color": css(colour),
                    "meta": {"pressed": body.name, "parts": list(body.parts)},
                }
            )


def _steps() -> list[list[Any]]:
    """Return the bands as the viewer's scale, each colour from its lower to its upper end."""
    scale = [css(colour) for colour in colours()]
    ends = [at / len(scale) for at in range(len(scale) + 1)]
    return [[end, one] for at, one in enumerate(scale) for end in (ends[at], ends[at + 1])]


def _span(span: ShownDistance) -> dict[str, Any]:
    made: dict[str, Any] = {
        "type": "scatter3d",
        "mode": "lines+markers",
        "name": span.id,
        "hoverinfo": "skip",
        "showlegend": False,
        "line": {"width": 7, "color": "rgb(190,20,80)"},
        "marker": {"size": 2.5, "color": "rgb(190,20,80)", "symbol": "diamond"},
        "meta": {"check": span.id, "kind": "span", "text": span.text},
    }
    return made | {axis: [end[i] for end in span.ends] for i, axis in enumerate("xyz")}
