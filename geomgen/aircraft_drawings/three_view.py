"""The three-view of the machine from its solids, hidden lines removed, set out after ISO 5456-2.

Buttock lines of the views from the nose and from above and waterlines of the views from the nose
and from the left keep aligned (`views.py`). So a sheet whose long side lies across takes the
largest scale.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np

from geomgen.aircraft_drawings.choices import Choices
from geomgen.aircraft_drawings.dimensioning import Wanted, dimensioned, labelled, named
from geomgen.aircraft_drawings.measures import Measures
from geomgen.aircraft_drawings.views import (
    CAUTION,
    INSIDE,
    LOOKS,
    NAMES,
    Views,
    arranged,
    have_room,
    inner_lines,
)
from geomgen.aircraft_drawings.wanted import STATION, wanted_in
from geomgen.drafting.lettering import width_of
from geomgen.drafting.paper.choice import at_largest_scale
from geomgen.drafting.paper.sheet import LETTERS, Sheet, room
from geomgen.drafting.record import CENTRE, REF, Drawing, Label, Path, joined, line
from geomgen.errors import GeometryError
from geomgen.kernel.model import Model
from geomgen.kernel.visibility.look import FROM_LEFT, FROM_NOSE, NOSE_DOWN, Look

NOTE = "dimensions measured on the solids"
# The view from the nose would show all of it over each other.
WITH_INSIDE = ("side", "plan")
PHANTOM = "chain line at the propeller: the volume that the blades sweep"
# Letters on paper [mm] of the views' names; room between views, how far axes stand over, in
# heights of letters.
TITLES, BETWEEN, OVER = 3.5, 3.5, 1.6
# How many places along a line its name tries.
PLACES = 25


def three_view(views: Views, choices: Choices) -> Sheet:
    """Return the three-view of a model [mm] on its sheet, at the largest scale that fits.

    GeometryError when a part has no lines, or when the sheet is too small at every scale.
    """
    bare, measures = views.lines(LOOKS), views.measures
    for name in WITH_INSIDE:
        bare[name] += inner_lines(measures.model, measures.scene, LOOKS[name])
    wanted = {name: wanted_in(name, LOOKS[name], measures) for name in LOOKS}
    sheet = at_largest_scale(
        lambda over, _: _set_out(bare, wanted, measures, over, choices),
        choices.sheet,
        choices.projection,
    )
    if sheet is None:
        raise GeometryError(
            f"the three-view has no room on {choices.sheet}",
            step="three-view",
            look_at=["drawings.sheet"],
        )
    return sheet


def _set_out(
    bare: Mapping[str, tuple[Path, ...]],
    wanted: Mapping[str, list[Wanted]],
    measures: Measures,
    over: int,
    choices: Choices,
) -> Iterator[Drawing]:
    """Return all views at one scale, where the sheet may have room for them."""
    wide, high = (over * side for side in room(choices.sheet))
    if not have_room(bare, wide, high):
        return
    views = {name: _finished(name, bare[name], wanted[name], measures, over) for name in bare}
    yield joined(
        "three_view",
        arranged(views, BETWEEN * LETTERS * over, choices.projection),
        _notes(measures.model),
    )


def _notes(model: Model) -> tuple[str, ...]:
    phantom = (PHANTOM,) if model.swept in model.parts else ()
    inside = (CAUTION,) if any(model.families.get(n) in INSIDE for n in model.parts) else ()
    return (NOTE, *phantom, *inside)


def _finished(
    name: str, paths: tuple[Path, ...], wanted: list[Wanted], measures: Measures, over: int
) -> Drawing:
    """Return one view with its axes, ground line, dimensions and name."""
    letters, look = LETTERS * over, LOOKS[name]
    view = Drawing(name, paths)
    thrust = _thrust_line(look, measures, letters)
    ground = () if look is NOSE_DOWN else _ground_line(view, look, measures, letters)
    marks = _datum(wanted, letters)
    view = replace(view, paths=(*view.paths, *thrust, *ground, *marks))
    view = dimensioned(view, wanted, letters)
    if look is FROM_LEFT:
        if thrust:
            view = labelled(view, _beside(thrust[0], "THRUST LINE", letters), letters)
        if ground:
            view = labelled(view, _along(ground[0], "GROUND LINE", letters), letters)
    return named(view, NAMES[name], TITLES * over)


def _thrust_line(look: Look, measures: Measures, letters: float) -> tuple[Path, ...]:
    """Return the thrust line past pod and propeller, or a cross where it is seen end on."""
    axis = measures.model.thrust_line
    if axis is None:
        return ()
    over = OVER * letters
    if look is FROM_NOSE:
        x, y = look.flat(axis.origin)
        return (
            line((x - over, y), (x + over, y), CENTRE, "thrust line"),
            line((x, y - over), (x, y + over), CENTRE, "thrust line"),
        )
    turning = [part for part in measures.model.rotating if part in measures.model.parts]
    box = measures.box([*measures.family("pod"), *turning]) or measures.whole()
    ends = []
    for x in (box.low[0] - over, box.high[0] + over):
        far = (x - axis.origin[0]) / axis.direction[0]
        a, b, c = (o + far * d for o, d in zip(axis.origin, axis.direction, strict=True))
        ends.append(look.flat((a, b, c)))
    return (line(ends[0], ends[1], CENTRE, "thrust line"),)


def _ground_line(view: Drawing, look: Look, measures: Measures, letters: float) -> tuple[Path, ...]:
    """Return the line of the ground that the machine stands on."""
    ground = measures.ground()
    if ground is None:
        return ()
    (nx, ny, nz), (ox, oy, oz) = ground.plane.normal, ground.plane.origin
    low, high = view.box()
    ends = []
    for across in (low[0] - OVER * letters, high[0] + OVER * letters):
        x, y = (across, 0.0) if look is FROM_LEFT else (ox, -across)
        z = oz - (nx * (x - ox) + ny * (y - oy)) / nz
        ends.append(look.flat((x, y, z)))
    return (line(ends[0], ends[1], REF, "ground line"),)


def _beside(axis: Path, text: str, letters: float) -> list[Label]:
    """Return where a line's name may stand: behind its ends, then along it."""
    (x0, y0), (x1, y1) = axis.points
    behind = Label((x1 + letters, y1 - letters / 2), text, letters)
    before = Label((x0 - letters, y0 - letters / 2), text, letters, anchor="end")
    return [behind, before, *_along(axis, text, letters)]


def _along(axis: Path, text: str, letters: float) -> list[Label]:
    """Return where a line's name may stand over or under it, from its far end on."""
    (x0, y0), (x1, y1) = axis.points
    slope = (y1 - y0) / (x1 - x0)
    turn = math.degrees(math.atan(slope))
    starts = np.linspace(x1 - width_of(text, letters), x0, PLACES).tolist()
    return [
        Label((x, y0 + slope * (x - x0) + off * letters), text, letters, turn)
        for off in (0.9, -1.9)
        for x in starts
    ]


def _datum(wanted: list[Wanted], letters: float) -> tuple[Path, ...]:
    """Return a mark at station 0, from which the firewall's station counts."""
    spots = [one.a for one in wanted if one.name == STATION]
    return tuple(line((x, y - letters), (x, y + letters), CENTRE, "station 0") for x, y in spots)
