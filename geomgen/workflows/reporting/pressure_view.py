"""The solved panels as they are shown: triangles of both sides with pressures or with colours."""

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.documents.pressure_bands import ENDS, MOUTH, UNSURE, band, colours
from geomgen.pages.scene import PageScene, PressedBody
from geomgen.units import DIMENSIONS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from geomgen.air.pressure_map import MappedBody, PressureMap
    from geomgen.renders.pressure_picture import PaintedTriangles

KNOT = DIMENSIONS["speed"].factors["kt"]
# Of these families a part is felt as panels; a part of no panel was not felt.
TOGETHER = {"exit": "pod", "canopy": "pod"}
SKIN, CUT = 0, 1
WORDS = (
    f"Each panel in the colour of its own solved value; {ENDS}. Standing still there is no Cp.",
    "Dark grey: not felt in the computation. Light grey: value cut short by another part, not "
    "shown. Black: air goes in there.",
)


def pressed_bodies(found: "PressureMap", families: "Mapping[str, str]") -> tuple[PressedBody, ...]:
    """Return each body as triangles [mm], on both sides where it has both.

    `families` are those of all parts.
    """
    return tuple(_pressed(body, families) for body in found.bodies)


def with_pressures(
    scene: PageScene, found: "PressureMap | None", families: "Mapping[str, str]"
) -> PageScene:
    """Return a scene with the pressures on its parts, where there are some."""
    if found is None:
        return scene
    speeds = tuple(found.speeds.items())
    return replace(scene, pressed=pressed_bodies(found, families), speeds=speeds)


def _pressed(body: "MappedBody", families: "Mapping[str, str]") -> PressedBody:
    points, pieces = np.array(body.points), np.array(body.pieces)
    halves = np.concatenate([pieces[:, [0, 1, 2]], pieces[:, [0, 2, 3]]])
    owner = np.tile(np.arange(len(pieces)), 2)
    real = np.array([len(set(three)) == 3 for three in halves.tolist()], dtype=bool)
    halves, owner = halves[real], owner[real]
    both = np.concatenate([points, points * (1.0, -1.0, 1.0)])
    sides = (halves, halves[:, ::-1] + len(points))
    triangles: Ints = np.concatenate(
        [s for s, there in zip(sides, body.sides, strict=True) if there]
    )
    owner = np.tile(owner, sum(body.sides))
    return PressedBody(
        body.name,
        tuple(sorted(name for name, family in families.items() if _felt_as(name, family, body))),
        both,
        triangles,
        np.array(body.kinds)[owner],
        {state: np.array(values)[owner] for state, values in body.pressures.items()},
    )


def _felt_as(name: str, family: str, body: "MappedBody") -> bool:
    """Say whether a part is felt as a body's panels; of a pair the right one has those of both."""
    if family == "scoop":
        right = name.removesuffix("_left") + "_right" if name.endswith("_left") else name
        return body.name in (name, right)
    return TOGETHER.get(family, family) == body.name


def painted(bodies: "tuple[PressedBody, ...]", state: str) -> "PaintedTriangles":
    """Return all triangles with the colours of a state."""
    from geomgen.renders.pressure_picture import PaintedTriangles

    scale = np.array([*colours(), UNSURE, MOUTH], dtype=np.uint8)
    corners = [body.points[body.triangles] for body in bodies]
    shown = [scale[_colour_of(body.pressures[state], body.kinds)] for body in bodies]
    return PaintedTriangles(np.concatenate(corners), np.concatenate(shown))


def _colour_of(values: Floats, kinds: Ints) -> Ints:
    bands = np.array([band(value) for value in values.tolist()], dtype=np.int64)
    return np.where(kinds == SKIN, bands, len(colours()) + (kinds != CUT))


def state_words(state: str, speed: float) -> str:
    """Return what a map is of, its speed [m/s] in both units.

    >>> state_words("climb", 23.0)
    'Pressure coefficient Cp in the climb, 23.0 m/s (45 kt)'
    """
    where = {"level": "level flight", "glide": "the glide", "climb": "the climb"}[state]
    return f"Pressure coefficient Cp in {where}, {speed:.1f} m/s ({speed / KNOT:.0f} kt)"
