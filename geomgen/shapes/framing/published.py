"""The plain geometry of frames and stringers that is published: planes of sheets, gaps of bonds."""

from math import cos, radians, sin

from geomgen.errors import looking_at
from geomgen.kernel.plain import FlatSheet
from geomgen.kernel.plane_frame import Frame
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.framing import FrameSheet, Stringer, frame_parts
from geomgen.shapes.framing.ends import end_planes


def front_of(p: Parameters, frame: FrameSheet) -> Frame:
    """Return the plane of a frame's front face [mm], on the thrust line; its normal points aft."""
    lean = radians(frame.tilt)
    up = (sin(lean), 0.0, cos(lean))
    return Frame((frame.station, 0.0, p.propeller.waterline), (0.0, 1.0, 0.0), up)


def sheets(p: Parameters) -> dict[str, FlatSheet]:
    """Return where the frames stand that the file describes, by the names of their parts [mm]."""
    found: dict[str, FlatSheet] = {}
    for i, frame in enumerate(p.frames):
        front = front_of(p, frame)
        with looking_at(f"frames.{i}"):
            ends = end_planes(p, frame, front)
        sheet = FlatSheet(front.plane, front.up, frame.thickness, ends=ends)
        found |= dict.fromkeys(frame_parts(frame), sheet)
    return found


def bond_gaps(p: Parameters) -> list[tuple[str, str, float]]:
    """Return the gaps [mm] of frames and stringers to the pod, and of frames to stringers."""
    frames = [(part, frame.gap) for frame in p.frames for part in frame_parts(frame)]
    made = [(part, "pod", gap) for part, gap in frames]
    for stringer in p.stringers:
        for name in stringer_names(stringer):
            made.append((name, "pod", stringer.gap))
            made += [(part, name, stringer.notch_clearance) for part, _ in frames]
    return made


def stringer_names(stringer: Stringer) -> list[str]:
    """Return the names of the parts that a stringer's table makes.

    >>> table = {"name": "a", "girth": 0.5, "start": "1 m", "end": "2 m", "width": "9 mm",
    ...     "depth": "9 mm"}
    >>> stringer_names(Stringer.model_validate(table))
    ['stringer_a_right', 'stringer_a_left']
    """
    name = f"stringer_{stringer.name}"
    return [f"{name}_right", f"{name}_left"] if stringer.mirrored else [name]
