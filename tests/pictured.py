"""One picture of parts, and how many of its pixels show each of them."""

import numpy as np

from geomgen.renders import actors
from geomgen.renders.body import bodies, framed
from geomgen.renders.picture import FINE, MARGIN, Studio
from geomgen.renders.window import colours_of, window

# Colours that tell parts apart, one byte of them.
MOST = 255


def picture(meshes, colours, view, size=(1280, 800)):
    """Return a PNG of (width, height) pixels that shows meshes [mm] as a view says."""
    with window((FINE * size[0], FINE * size[1])) as shown:
        return Studio(shown, meshes, colours).picture(view)


def visible_parts(meshes, view, size=(800, 500)):
    """Return how many pixels show each part of a view, 0 for one that is hidden.

    A translucent part hides nothing, and counts where nothing stands in front of it.
    """
    shown_bodies = bodies(meshes, view)
    with window(size) as shown:
        frame = framed(shown_bodies, view, size, MARGIN)
        solid = [body for body in shown_bodies if not body.translucent]
        counts = _counted(shown, frame, solid)
        for body in shown_bodies:
            if body.translucent:
                counts[body.name] = _counted(shown, frame, [*solid, body])[body.name]
    return {name: counts.get(name, 0) for name in meshes if name not in view.without}


def _counted(shown, frame, parts):
    assert len(parts) <= MOST
    scene = actors.scene()
    scene.SetBackground(0.0, 0.0, 0.0)
    actors.aim(scene, frame)
    for number, body in enumerate(parts, start=1):
        corners = body.surface.points[np.concatenate([body.skin, body.caps])]
        colour = np.zeros((len(corners), 3), dtype=np.uint8)
        colour[:, 0] = number
        actor = actors.painted(corners, colour)
        actor.GetProperty().BackfaceCullingOff()
        scene.AddActor(actor)
    shown.AddRenderer(scene)
    shown.Render()
    pixels = colours_of(shown)[:, :, 0]
    shown.RemoveRenderer(scene)
    many = np.bincount(pixels.reshape(-1), minlength=MOST + 1)
    return {body.name: int(many[number]) for number, body in enumerate(parts, start=1)}
