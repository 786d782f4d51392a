"""The engine bay on one sheet: a section along the thrust line, and one through the mouths."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from geomgen.aircraft_drawings import bay_dimensions, bay_words
from geomgen.aircraft_drawings.bay_dimensions import fan_point, thrust_height
from geomgen.aircraft_drawings.bay_geometry import (
    ELSEWHERE,
    STEP,
    Bay,
    BaySection,
    bay_of,
    throat_line,
)
from geomgen.aircraft_drawings.callouts import Callout, Column, in_column, tall
from geomgen.aircraft_drawings.choices import Choices
from geomgen.aircraft_drawings.section_lines import section_paths, words
from geomgen.drafting.paper.choice import at_largest_scale
from geomgen.drafting.paper.sheet import LETTERS, Sheet, room
from geomgen.drafting.record import CENTRE, OPEN, Drawing, Label, Path, joined, line
from geomgen.errors import GeometryError
from geomgen.kernel.model import Model
from geomgen.verdicts.check import Check

# On paper [mm]: least and largest width of a column of texts, room for the upright dimensions,
# between the two sections, beside them, of a leader's shelf, letters of titles.
NARROW, BROAD = 50.0, 95.0
DIAMETERS = 28.0
BETWEEN, BESIDE, SHELF = 6.0, 6.0, 5.0
TITLE = 3.5
# Letters where the sheet is too small for larger ones, the smallest of ISO 3098-1 [mm].
SMALL = 1.8
NAME = "engine bay"


def engine_bay(model: Model, choices: Choices, checks: Sequence[Check]) -> Sheet:
    """Return the sheet of the engine bay; GeometryError when the model has none.

    The first section stands upright in the thrust line, seen from the left; the second lies level
    through the mouths that the first does not pass, seen from above, under it in first angle
    projection and over it in third angle projection. Letters are 2.5 mm high, 1.8 mm where the
    sheet is too small for that.
    """
    bay = bay_of(model)
    projection = choices.projection if bay.level else ""
    for letters in (LETTERS, SMALL):
        sheet = at_largest_scale(
            partial(_laid, bay, choices, checks, letters),
            choices.sheet,
            projection,
        )
        if sheet is not None:
            return sheet
    raise GeometryError(f"it fits no scale on a sheet of {choices.sheet}", step=STEP)


@dataclass(frozen=True)
class _Setting:
    """Where things stand at a scale [mm]: the width of a column, letters, the sections' heights."""

    over: int
    column: float
    letters: float


def _laid(
    bay: Bay, choices: Choices, checks: Sequence[Check], letters: float, over: int, size: str
) -> Iterator[Drawing]:
    """Return the sections at a scale, where they fit the sheet."""
    wide, high = (side * over for side in room(size))
    low, top = bay.upright.limits.low, bay.upright.limits.high
    both = wide - (top[0] - low[0]) - (DIAMETERS + 2 * BESIDE) * over
    column = min(both / 2, BROAD * over)
    if column < NARROW * over:
        return
    plan = _Setting(over, column, letters * over)
    words = bay_words.upright_words(bay, checks)
    foot = min(low[1], bay_dimensions.rows_foot(bay, over))
    foot = min(foot, top[1] - _needed(bay.upright, words, plan))
    views = [_upright(bay, words, plan, foot)]
    tallness = top[1] - foot
    if bay.level is not None:
        section = bay.level
        said = bay_words.level_words(bay, section, checks)
        low_end, high_end = bay_dimensions.mouths_reach(section, over, plan.letters)
        low_end = min(low_end, section.limits.high[1] - _needed(section, said, plan))
        under = foot - BETWEEN * over - high_end
        if choices.projection == "third angle":
            under = top[1] + BETWEEN * over - low_end
        views.append(_level(bay, section, said, plan, low_end).moved(0.0, under))
        tallness += high_end - low_end + BETWEEN * over
        words = words + said
    if tallness <= high:
        yield joined(NAME, views, _notes(bay, checks, words))


def _needed(section: BaySection, words: Sequence[Callout], plan: _Setting) -> float:
    """Return the height [mm] that the columns of a section need for their texts."""
    left, right = (tall(side, plan.column, plan.letters) for side in _sides(section, words))
    return max(left + 3 * TITLE * plan.over, right)


def _upright(bay: Bay, words: Sequence[Callout], plan: _Setting, foot: float) -> Drawing:
    section = bay.upright
    left, right = _sides(section, words)
    (x0, _), (x1, top) = section.limits.low, section.limits.high
    gap = BESIDE * plan.over
    ceiling = top - 3 * TITLE * plan.over
    title = _title(section, "BL", plan, "seen from the left")
    dimensions = (
        *bay_dimensions.along(bay, plan.over, plan.letters),
        *bay_dimensions.across(bay, plan.over, plan.letters),
        *bay_dimensions.mouths(section, plan.over, plan.letters),
    )
    columns = [
        in_column(side, Column(edge, plan.column, foot, high, at_left), plan.letters, dimensions)
        for side, edge, high, at_left in (
            (left, x0 - gap, ceiling, True),
            (right, x1 + DIAMETERS * plan.over + gap, top, False),
        )
    ]
    lines = Drawing(
        NAME,
        (*_lines(bay, section, plan.over), *_axis(bay), *_air(bay, section)),
        title,
        (),
        dimensions,
    )
    return joined(NAME, [lines, *columns])


def _level(
    bay: Bay, section: BaySection, words: Sequence[Callout], plan: _Setting, foot: float
) -> Drawing:
    left, right = _sides(section, words)
    (x0, _), (x1, top) = section.limits.low, section.limits.high
    gap = BESIDE * plan.over
    dimensions = bay_dimensions.mouths(section, plan.over, plan.letters)
    ceiling = top - 3 * TITLE * plan.over
    columns = [
        in_column(side, Column(edge, plan.column, foot, high, at_left), plan.letters, dimensions)
        for side, edge, high, at_left in (
            (left, x0 - gap, ceiling, True),
            (right, x1 + gap, top, False),
        )
    ]
    lines = Drawing(
        NAME,
        (*_lines(bay, section, plan.over), *_air(bay, section)),
        _title(section, "WL", plan, "seen from above"),
        (),
        dimensions,
    )
    return joined(NAME, [lines, *columns])


def _lines(bay: Bay, section: BaySection, over: int) -> tuple[Path, ...]:
    return section_paths(section.cut, over, section.limits, (bay.model.swept,))


def _sides(section: BaySection, words: Sequence[Callout]) -> tuple[list[Callout], list[Callout]]:
    """Share callouts among the columns by the side of the section that they point to."""
    middle = 0.5 * (section.limits.low[0] + section.limits.high[0])
    left = [c for c in words if c.at is not None and c.at[0] < middle]
    return left, [c for c in words if c not in left]


def _title(section: BaySection, axis: str, plan: _Setting, seen: str) -> tuple[Label, Label]:
    at = -section.frame.height((0.0, 0.0, 0.0))[0]
    sign = at if axis == "WL" else -at
    x = section.limits.low[0] - (BESIDE + SHELF) * plan.over
    top = section.limits.high[1] - TITLE * plan.over
    return (
        Label((x, top), f"SECTION AT {axis} {abs(sign):.1f}", TITLE * plan.over, 0.0, "end"),
        Label((x, top - 1.6 * plan.letters), seen, plan.letters, 0.0, "end"),
    )


def _axis(bay: Bay) -> list[Path]:
    if bay.model.thrust_line is None:
        return []
    (x0, _), (x1, _) = bay.upright.limits.low, bay.upright.limits.high
    ends = [(x, thrust_height(bay, x)) for x in (x0, x1)]
    return [line(ends[0], ends[1], CENTRE, "thrust line")]


def _air(bay: Bay, section: BaySection) -> list[Path]:
    """Return the openings as they stand in a section's plane, and the way of the air."""
    found = []
    for opening in section.openings:
        for a, b in opening.lines(section.frame):
            ends = ((float(p[0]), float(p[1])) for p in (a, b))
            found.append(Path(tuple(ends), (), False, OPEN, opening.where.name))
    for passage in section.passages:
        throat = throat_line(section, passage)
        if throat is not None:
            found.append(Path(throat, (), False, OPEN, f"throat of {passage.name}"))
        places = [passage.mouth.seed, *(throat.seed for throat in passage.throats)]
        places.append(passage.into_bay)
        places += [passage.fan.origin] if passage.fan is not None else []
        way = tuple(section.flat(place) for place in places)
        found.append(Path(way, (), False, CENTRE, f"passage of {passage.name}"))
    last = fan_point(bay, section)
    if section.passages and last is not None and bay.model.exits:
        out = section.flat(bay.model.exits[0].seed)
        found.append(line(last, out, CENTRE, "passage to the exit"))
    return found


def _notes(bay: Bay, checks: Sequence[Check], shown: Sequence[Callout]) -> tuple[str, ...]:
    notes = ["Heavy lines across openings: mouth, last throat and exit, as the solids leave them."]
    away = sorted({family for family in bay.model.families.values() if family in ELSEWHERE})
    if away:
        notes.append(f"Left out: {', '.join(words(family) for family in away)}.")
    for section in (bay.upright, bay.level):
        if section is not None and section.moved:
            notes.append(f"Cut {section.moved:.1f} mm aside, as a face lies in the plane itself.")
    return (*notes, *bay_words.failures(bay, checks, shown))
