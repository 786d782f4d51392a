"""Pictures of parts: shaded for people, and in flat colours to count who is seen."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from geomgen.arrays import Floats
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshes.glass_edge import edges_drawn
from geomgen.kernel.model import Model
from geomgen.renders import actors
from geomgen.renders.actors import PLAIN, Colour
from geomgen.renders.body import Camera, Known, RenderedPart, bodies, framed
from geomgen.renders.ink import outlined, smoothed
from geomgen.renders.pilot_sight import sight_picture
from geomgen.renders.png import png_bytes
from geomgen.renders.view import View, standard_views
from geomgen.renders.window import colours_of, depths_of, window

SIZE = (1280, 800)
# Drawn this many times as fine, then averaged: smooth outlines.
FINE = 2
MARGIN = 0.04
# Outlines where the depth jumps by this many pixels' worth.
JUMP = 6.0


def pictures_of(
    model: Model, meshes: Mapping[str, Mesh], size: tuple[int, int] = SIZE
) -> Iterator[tuple[str, bytes]]:
    """Yield `<view>.png` and its bytes for each standard view of a model, the pilot's sight last.

    Raises GeometryError when a view shows nothing, FileWriteError without a system library.
    """
    with window((FINE * size[0], FINE * size[1])) as shown:
        studio = Studio(shown, meshes, model.colours, edges_drawn(model, meshes))
        for view in standard_views(model):
            yield f"{view.name}.png", studio.picture(view)
    seen = sight_picture(model, meshes, size)
    if seen is not None:
        yield "pilot_sight.png", seen


class Studio:
    """A window with all that is drawn in it; what is not cut is kept from view to view."""

    def __init__(
        self,
        shown: Any,
        meshes: Mapping[str, Mesh],
        colours: Mapping[str, Colour],
        drawn: Mapping[str, Sequence[Floats]] | None = None,
    ) -> None:
        self.shown = shown
        self.meshes = meshes
        self.colours = colours
        self.drawn = drawn or {}
        self.scene = actors.scene()
        self.known: Known = {}
        self.kept: dict[str, list[Any]] = {}
        shown.AddRenderer(self.scene)

    def picture(self, view: View) -> bytes:
        """Return the PNG of a view."""
        parts = bodies(self.meshes, view, self.known)
        frame = framed(parts, view, tuple(self.shown.GetSize()), MARGIN)
        self.scene.RemoveAllViewProps()
        for number, body in enumerate(parts):
            for actor in self._actors(body, frame, bool(number % 2)):
                self.scene.AddActor(actor)
                if actor.GetProperty().GetLineWidth() == FINE:
                    actors.lift(actor, frame)
        actors.aim(self.scene, frame)
        self.shown.Render()
        near, far = actors.reach(frame)
        step = JUMP * frame.scale * FINE / (far - near)
        lined = outlined(colours_of(self.shown), depths_of(self.shown), step)
        return png_bytes(smoothed(lined, FINE), view.title)

    def _actors(self, body: RenderedPart, frame: Camera, mirrored: bool) -> list[Any]:
        key = f"{body.name} {body.translucent}"
        if key in self.kept and body.surface is self.known.get(body.name):
            return self.kept[key]
        colour = self.colours.get(body.name, PLAIN)
        made = [actors.skin(body, colour)]
        # A view that is cut shows what is inside.
        if self.drawn.get(body.name) and body.surface is self.known.get(body.name):
            made.append(actors.drawn(self.drawn[body.name], colour, float(FINE)))
        if len(body.caps):
            made.append(actors.caps(body, colour, frame, mirrored))
        if len(body.surface.sharp):
            made.append(actors.edges(body, colour, float(FINE)))
        if body.surface is self.known.get(body.name):
            self.kept[key] = made
        return made
