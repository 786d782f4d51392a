"""Files of aerofoil points: Selig's order and Lednicer's order, as text."""

import math
import re
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

from geomgen.errors import ParameterError
from geomgen.parameters.file_text.source_text import decoded, read_bytes

Point = tuple[float, float]

LARGEST = 200_000
FEWEST, MOST = 11, 2000
# How far the ends may be off [chord]: nose from 0, trailing edge from 1, edge thickness.
END = 0.02
EDGE = 0.05
HIGHEST = 0.5


def read_aerofoil(path: str | Path) -> tuple[Point, ...]:
    """Return the points (x, y) [chord] from the upper trailing edge round the nose to the lower.

    Selig's order runs round the section in one list; Lednicer's gives the numbers of points on
    the upper and the lower side, then both sides from the nose aft. A first line without two
    numbers is the section's name; lines that begin with # or ! are comments. ParameterError for
    what is not such a file: less than 11 points, numbers that are not finite, a chord that is not
    0 to 1 within 2 %, an edge thicker than 5 %, an outline that cuts itself.
    """
    file = Path(path)
    rows = _rows(decoded(read_bytes(file, LARGEST, "a file of aerofoil points"), file), file)
    points = _one_list(rows, file)
    _check(points, file)
    return tuple(points)


def _rows(text: str, file: Path) -> list[tuple[int, Point]]:
    rows: list[tuple[int, Point]] = []
    first = True
    for number, line in enumerate(text.splitlines(), 1):
        bare = line.strip()
        if not bare or bare[0] in "#!":
            continue
        point = _point(bare)
        if point is None and first:
            first = False
            continue
        first = False
        if point is None:
            raise ParameterError(
                "not a pair of numbers",
                file=file,
                line=number,
                written=bare[:40],
                allowed="x and y in chords",
            )
        if not all(math.isfinite(value) for value in point):
            raise ParameterError("not finite", file=file, line=number, written=bare[:40])
        rows.append((number, point))
        if len(rows) > MOST + 1:
            raise ParameterError("too many points", file=file, allowed=f"{FEWEST} to {MOST}")
    return rows


def _point(line: str) -> Point | None:
    words = re.split(r"[\s,;]+", line.strip(",; "))
    if len(words) != 2:
        return None
    try:
        return float(words[0]), float(words[1])
    except ValueError:
        return None


def _one_list(rows: list[tuple[int, Point]], file: Path) -> list[Point]:
    points = [point for _, point in rows]
    if points and min(points[0]) > 1.5:
        points = _lednicer(points, rows[0][0], file)
    if not FEWEST <= len(points) <= MOST:
        raise ParameterError(
            "too few points" if len(points) < FEWEST else "too many points",
            file=file,
            written=str(len(points)),
            allowed=f"{FEWEST} to {MOST}",
        )
    return points


def _lednicer(points: list[Point], line: int, file: Path) -> list[Point]:
    upper, lower = points[0]
    rest = points[1:]
    if upper != int(upper) or lower != int(lower) or upper + lower != len(rest):
        raise ParameterError(
            "the numbers of points on the two sides do not match the rows that follow",
            file=file,
            line=line,
            written=f"{upper:g} and {lower:g}",
            allowed=f"two whole numbers that make {len(rest)}",
        )
    over, under = rest[: int(upper)], rest[int(upper) :]
    joined = under[1:] if over and under and over[0] == under[0] else under
    return over[::-1] + joined


def _check(points: Sequence[Point], file: Path) -> None:
    x = [point[0] for point in points]
    nose = x.index(min(x))
    problem = _off_chord(points, nose)
    if not problem and any(a == b for a, b in pairwise(points)):
        problem = "a point stands twice in a row"
    if not problem and not _runs_round(x, nose):
        problem = "x does not run from the trailing edge to the nose and back"
    if not problem and _cuts_itself(points, nose):
        problem = "the upper side does not stay above the lower one"
    if problem:
        raise ParameterError(
            problem,
            file=file,
            allowed="points in chords, from the upper trailing edge round the nose to the lower "
            "one (or both sides from the nose aft after their numbers)",
        )


def _off_chord(points: Sequence[Point], nose: int) -> str:
    (x0, y0), (x1, y1) = points[0], points[-1]
    if abs(points[nose][0]) > END or max(abs(x0 - 1), abs(x1 - 1)) > END:
        return f"the chord does not run from 0 to 1 but {points[nose][0]:g} to {max(x0, x1):g}"
    if not 0 < nose < len(points) - 1:
        return "the nose stands at an end of the list"
    if not -1e-9 <= y0 - y1 <= EDGE or abs(x0 - x1) > END:
        return f"the trailing edge is open by {y0 - y1:g} chords, from 0 to {EDGE:g} are allowed"
    if max(abs(y) for _, y in points) > HIGHEST:
        return f"a point stands more than {HIGHEST:g} chords off the chord line"
    return ""


def _runs_round(x: Sequence[float], nose: int) -> bool:
    falls = all(b < a for a, b in pairwise(x[: nose + 1]))
    # The nose itself may be given by two points, one for each side.
    rises = all(b > a for a, b in pairwise(x[nose + 1 :])) and x[nose + 1] >= x[nose]
    return falls and rises


def _cuts_itself(points: Sequence[Point], nose: int) -> bool:
    """Tell whether the sides meet between nose and edge; x runs one way along each side."""
    upper, lower = list(points[nose::-1]), list(points[nose:])
    last = min(upper[-1][0], lower[-1][0]) - 1e-6
    inner = sorted({x for x, _ in points if points[nose][0] + 1e-6 < x < last})
    return any(_height(upper, x) <= _height(lower, x) for x in inner)


def _height(side: Sequence[Point], at: float) -> float:
    for (xa, ya), (xb, yb) in pairwise(side):
        if xa <= at <= xb and xb > xa:
            return ya + (yb - ya) * (at - xa) / (xb - xa)
    return side[-1][1]
