"""From where to look at the machine, what to cut away and what to leave out."""

from dataclasses import dataclass

import numpy as np

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, boxes_meet, loose_box
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis, Plane, Vec3, vec

# Shares of the tip radius about the thrust line, and of the bay's length ahead of the firewall.
ABOUT, AHEAD, BEHIND = 0.6, 0.3, 0.06

# What stands inside, and the skins that it is seen through.
INSIDE = ("frame", "stringer", "spar", "rib", "joint_plate", "joint_pin")
SKINS = ("pod", "exit", "tail_fairing", "canopy", "wing", "tailplane", "fin", "scoop", "pylon")


@dataclass(frozen=True)
class View:
    """One way to look at the machine; x aft, y to the right, z up [mm].

    `direction` is where the eye looks, `up` what is up in the picture. What lies on the side of
    the normal of any plane in `sections` is cut away, but not from the parts in `whole`.
    `translucent` parts let what is behind them show, `without` are left out.
    """

    name: str
    title: str
    direction: Vec3
    up: Vec3 = (0.0, 0.0, 1.0)
    sections: tuple[Plane, ...] = ()
    whole: tuple[str, ...] = ()
    translucent: tuple[str, ...] = ()
    without: tuple[str, ...] = ()

    def axes(self) -> tuple[Vec3, Vec3, Vec3]:
        """Return unit vectors [1] to the right in the picture, up in it, and away from the eye.

        >>> View("side", "from the left", (0.0, 2.0, 0.0)).axes()[0]
        (1.0, 0.0, 0.0)
        """
        away = np.array(self.direction) / max(float(np.linalg.norm(self.direction)), 1e-300)
        right = np.cross(away, self.up)
        size = float(np.linalg.norm(right))
        if size < 1e-9 * max(float(np.linalg.norm(self.up)), 1.0):
            raise GeometryError(f"view {self.name}: nothing is up along {self.up}", step="picture")
        right /= size
        up = np.cross(right, away)
        return vec(right), vec(up), vec(away)


def standard_views(model: Model) -> tuple[View, ...]:
    """Return the views of the whole machine, and of its engine bay cut along the thrust line.

    The last is left out for a model without thrust line, firewall or swept volume.
    """
    veil = tuple(name for name in model.see_through if name in model.parts)
    views = [
        View("three_quarter_front", "From ahead, right and above", (1.0, -0.72, -0.5)),
        View("three_quarter_rear", "From behind, left and above", (-1.0, 0.82, -0.46)),
        View("side", "Side, from the left", (0.0, 1.0, 0.0)),
        View("plan", "Plan, from above", (0.0, 0.0, -1.0), up=(-1.0, 0.0, 0.0)),
        View("front", "Front, from ahead", (1.0, 0.0, 0.0)),
    ]
    made = tuple(
        View(v.name, v.title, v.direction, v.up, translucent=veil) for v in views if model.parts
    )
    more = (inside_view(model), engine_bay(model))
    return (*made, *(view for view in more if view is not None))


def inside_view(model: Model) -> View | None:
    """Return the view through the skins on frames, stringers, spars and ribs; None without any."""
    if not any(model.families.get(name) in INSIDE for name in model.parts):
        return None
    skins = tuple(name for name in model.parts if model.families.get(name) in SKINS)
    return View(
        "inside",
        "Seen through the skins: frames, stringers, spars and ribs; geometry, not strength",
        (1.0, -0.72, -0.5),
        translucent=(*skins, *(n for n in model.see_through if n not in skins)),
    )


def engine_bay(model: Model) -> View | None:
    """Return the view from the left into the engine bay, cut in the plane of the thrust line.

    What stands far from the thrust line, or wholly ahead of or behind the bay, is left out; what
    runs on forward is cut off ahead of the firewall.
    """
    line, wall = model.thrust_line, model.firewall_plane
    if line is None or wall is None or model.swept not in model.parts:
        return None
    boxes = {name: loose_box(solid) for name, solid in model.parts.items()}
    start = _along(line, wall.origin)
    turning = [boxes[name] for name in (model.swept, *model.rotating) if name in boxes]
    end = max(_along(line, corner) for box in turning for corner in (box.low, box.high))
    if end <= start:
        return None
    ahead, behind = start - AHEAD * (end - start), end + BEHIND * (end - start)
    reach = ABOUT * max(boxes[model.swept].size[1:]) / 2
    near = _around(line, ahead, behind, reach)
    back = (-line.direction[0], -line.direction[1], -line.direction[2])
    return View(
        "engine_bay",
        "Engine bay from the left, cut along the thrust line",
        (0.0, 1.0, 0.0),
        sections=(
            Plane(line.origin, _towards_left(line)),
            Plane(_at(line, ahead), back),
            Plane(_at(line, behind), line.direction),
        ),
        whole=tuple(name for name, family in model.families.items() if family == "engine"),
        translucent=model.see_through,
        without=tuple(name for name, box in boxes.items() if not boxes_meet(box, near)),
    )


def _along(line: Axis, point: Vec3) -> float:
    return sum(d * (p - o) for d, p, o in zip(line.direction, point, line.origin, strict=True))


def _at(line: Axis, distance: float) -> Vec3:
    return vec(o + distance * d for o, d in zip(line.origin, line.direction, strict=True))


def _towards_left(line: Axis) -> Vec3:
    """Return the level direction across the thrust line, to the left of one who looks ahead."""
    x, y, _ = line.direction
    size = float(np.hypot(x, y))
    if size < 1e-9:
        raise GeometryError("an upright thrust line has no side", step="picture")
    return (y / size, -x / size, 0.0)


def _around(line: Axis, first: float, last: float, reach: float) -> Box:
    ends = np.array([_at(line, first), _at(line, last)])
    give = np.array([0.0, reach, reach])
    return Box(vec(ends.min(axis=0) - give), vec(ends.max(axis=0) + give))
