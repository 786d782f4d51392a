"""What is said of a frame on its pattern: station, lean, centre line and a waterline."""

from geomgen.drafting.own_lengths import grid_step
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.framing import frame_parts, is_half
from geomgen.shops.ply_patterns.marks import FROM_AFT, PlyWords, SheetMark
from geomgen.shops.ply_patterns.outline import PlyPattern


def frame_words(p: Parameters, name: str, made: PlyPattern) -> PlyWords:
    """Return what is said of a frame: where it stands, the centre line and the nearest waterline.

    The waterline goes through a place on the part, which is the sheet `name` or a piece of it.
    """
    frame = next(f for f in p.frames if name in frame_parts(f))
    where = f"STA {frame.station:g} AT THE THRUST LINE"
    if is_half(frame):
        where += f", {_part(made)}"
    if frame.tilt:
        where += f", TOP AFT {frame.tilt:g} DEG"
    x0, y0, x1, y1 = made.whole.bounds
    spot = made.whole.representative_point()
    step = grid_step()
    level = step * round(made.frame.lifted((0.0, spot.y))[2] / step)
    high = (level - made.frame.origin[2]) / made.frame.up[2]
    # A side piece has no centre line on it: the nearest round buttock line stands for that.
    side = 0.0 if x0 < 0.0 < x1 else step * round(spot.x / step)
    upright = "CL" if side == 0.0 else f"BL {side:g}"
    lines = ((upright, (side, y0), (side, y1)), (f"WL {level:g}", (x1, high), (x0, high)))
    lift = made.frame.lifted
    return PlyWords(where, FROM_AFT, tuple(SheetMark(t, lift(a), lift(b)) for t, a, b in lines))


def _part(made: PlyPattern) -> str:
    """Return from which to which waterline a half frame's front face reaches [mm]."""
    _, low, _, high = made.faces[0].bounds if made.faces else made.whole.bounds
    levels = [made.frame.lifted((0.0, float(y)))[2] for y in (low, high)]
    return f"WL {levels[0]:.1f} TO {levels[1]:.1f}"
