"""A plain tapered wing of NACA 0012 sections with 2 deg of washout, and its core's templates."""

from dataclasses import replace
from functools import cache

from geomgen.drafting.record import Drawing
from geomgen.kernel.lofting.halves import doubled
from geomgen.kernel.lofting.panels import ruled_solid
from geomgen.parameters.values.quantities import Threshold
from geomgen.shapes.aerofoil import angles, naca
from geomgen.shapes.lifting import AerofoilSection
from geomgen.shops.hotwire_cores.outline import core_outline, guide, in_chord_frame
from geomgen.shops.hotwire_cores.printed_face import FACES
from geomgen.shops.hotwire_cores.proof import Cut
from geomgen.shops.hotwire_cores.sections import panel
from geomgen.shops.hotwire_cores.templates import Template, template_drawing

SPAN, ROOT, TIP = 900.0, 600.0, 400.0
WASHOUT = 2.0
KERF, SKIN = 1.2, 0.45


def frame(y: float, chord: float, angle: float) -> AerofoilSection:
    nose = (100.0 + 0.25 * (ROOT - chord), y, 50.0 + 0.03 * y)
    # The open edge of the four-digit section, so that its area is the closed form's.
    edge = 2 * 5 * 0.12 * 0.0021 * chord
    return AerofoilSection(nose, chord, angle, naca("0012"), edge, (0.0, 0.0, 1.0), (0.0, 1.0, 0.0))


@cache
def wing():
    rows = [frame(0.0, ROOT, 1.0).points(), frame(SPAN, TIP, 1.0 - WASHOUT).points()]
    return doubled(ruled_solid(rows, angles(), "wing"), "wing")


@cache
def skins(side: int):
    return panel(wing(), 1, side, 0.0, SPAN)


def template(
    side: int, end: int, *, skin=SKIN, kerf=KERF, sign=1.0, hand=None, face=None
) -> Template:
    section = skins(side).section((0.0, SPAN)[end])
    core = core_outline(in_chord_frame(section), skin)
    name = f"{('left', '', 'right')[side + 1]}_{('root', 'tip')[end]}"
    hand = hand or ("RIGHT" if side > 0 else "LEFT")
    words = (f"WING CORE - PANEL 1 OF 1 - {hand}",)
    made = guide(core, kerf, 0.06)
    return Template(
        *(name, side, face or FACES[end], core, made, (), (), sign * section.angle, 24, words)
    )


@cache
def cut(side: int) -> Cut:
    s = skins(side)
    root, tip = (template_drawing(template(side, end)) for end in (0, 1))
    ends = (s.section(0.0), s.section(SPAN))
    hand = "right" if side > 0 else "left"
    return Cut(s, root, tip, ends, KERF, SKIN, Threshold(0.5, "own choice"), f"panel1_{hand}")


def mirrored(drawing: Drawing) -> Drawing:
    """Return a drawing turned over, as a template that was laid down on the wrong face."""
    paths = tuple(
        replace(
            path,
            points=tuple((-x, y) for x, y in path.points),
            bulges=tuple(-b for b in path.bulges),
        )
        for path in drawing.paths
    )
    labels = tuple(replace(t, at=(-t.at[0], t.at[1])) for t in drawing.labels)
    return replace(drawing, paths=paths, labels=labels)
