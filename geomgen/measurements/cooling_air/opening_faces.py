"""The faces of the openings as they were measured, to be shown: found again by their areas."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial

from OCP.TopoDS import TopoDS_Face

from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.model import Model
from geomgen.kernel.openings.face_mesh import face_triangles
from geomgen.kernel.plain import Opening, Vec3
from geomgen.measurements.cooling_air.opening import section_of, solids
from geomgen.processes.worker_pool import answers

# A figure measured again on the same solid agrees to this share.
AGREES = 1e-6


@dataclass(frozen=True)
class OpeningFace:
    """An opening as measured: the check's id, area [mm2], centroid, triangles that fill it."""

    id: str
    area: float
    centroid: Vec3
    vertices: Floats
    triangles: Ints


def opening_faces(model: Model, measured: Mapping[str, float]) -> list[OpeningFace]:
    """Return the faces behind areas [mm2] that were measured, by the check's id.

    Ids without a plane of their own (a sum, a ratio) are passed over. GeometryError when no plane
    of the model has the area: the figures are then not of these solids.
    """
    planes = {id_: _planes(model, id_) for id_ in measured}
    wanted = [id_ for id_ in measured if planes[id_]]
    found = dict(answers(partial(_face, model, planes, dict(measured)), wanted))
    return [found[id_] for id_ in wanted]


def _planes(model: Model, id_: str) -> list[Opening]:
    """Return the planes that a check is measured in, the likeliest first."""
    if id_ == "exit.area":
        return list(model.exits)
    for passage in model.passages:
        if id_ == f"inlet.area.{passage.name}":
            return [passage.mouth]
        if id_ == f"duct.throat_area.{passage.name}":
            return [passage.mouth, *passage.throats]
    return []


def _face(
    model: Model, planes: Mapping[str, list[Opening]], areas: Mapping[str, float], id_: str
) -> OpeningFace:
    area = areas[id_]
    for found_area, centroid, face in _sections(model, planes[id_]):
        if abs(found_area - area) <= AGREES * area:
            vertices, triangles = face_triangles(face, found_area)
            return OpeningFace(id_, found_area, centroid, vertices, triangles)
    raise GeometryError(
        f"no plane of {id_} has the area of {area:.1f} mm^2 that was measured", step="opening"
    )


def _sections(model: Model, planes: list[Opening]) -> Iterator[tuple[float, Vec3, TopoDS_Face]]:
    for plane in planes:
        try:
            section = section_of(solids(model), plane)
        except GeometryError:
            continue
        if section.area is not None and section.centroid is not None and section.face is not None:
            yield section.area, section.centroid, section.face
