"""The faces of a solid that lie in a plane, as outlines: no cut, so many times as fast as one."""

from OCP.TopoDS import TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.sections.plane_cut import CHORD, CutRegion, face_lies_in, region_of


def faces_in_plane(
    frame: Frame, solid: TopoDS_Shape, part: str = "", chord: float = CHORD
) -> tuple[CutRegion, ...]:
    """Return the faces of a solid that lie in a plane, each as a region; () where none does.

    Outlines keep within `chord` [mm] of the exact edges, and hold what the face's area is.
    GeometryError, naming the part, for a face whose outline does not close.

    >>> from geomgen.kernel.plane_frame import at_station
    >>> from geomgen.kernel.brep.primitives import box
    >>> block = box((0, 0, 0), (10, 20, 30))
    >>> [round(face.area, 9) for face in faces_in_plane(at_station(10.0), block)]
    [600.0]
    >>> faces_in_plane(at_station(5.0), block)
    ()
    """
    try:
        return tuple(
            region_of(frame, face, chord) for face in faces_of(solid) if face_lies_in(frame, face)
        )
    except GeometryError as error:
        raise GeometryError(error.problem, part=part, step="section") from error
