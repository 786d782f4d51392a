"""3MF: the parts for printing, in millimetres, named, with colours; the same bytes always.

Layout as in the published 3MF Core Specification (3MF Consortium) over Open Packaging (ISO/IEC
29500-2). Written here, because a library puts the time into the container; read back with the
consortium's own library, which shares nothing with the writer.
"""

import io
import zipfile
from collections.abc import Mapping
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from typing import Any
from xml.sax.saxutils import quoteattr

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.errors import FileWriteError
from geomgen.files.disk import proof_failed, write_bytes
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshing.proven import is_closed

Colour = tuple[float, float, float]
CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
MODEL_PART = "3D/3dmodel.model"
HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'
TYPES = (
    f'{HEAD}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" '
    'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" '
    'ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>\n'
)
RELATIONS = (
    f'{HEAD}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    f'<Relationship Target="/{MODEL_PART}" Id="model" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>\n'
)
# The first time that a container of this kind can hold.
NO_TIME = (1980, 1, 1, 0, 0, 0)
UNIX = 3
PLAIN: Colour = (0.72, 0.74, 0.76)
# Vertices [mm] and share of the volume that may be off; the coordinates are 32-bit numbers.
FLOAT32 = 1e-4
ROUGH = 1e-6


def write_threemf(
    path: Path,
    meshes: Mapping[str, Mesh],
    colours: Mapping[str, Colour],
    name: str,
    title: str = "",
    without: tuple[str, ...] = (),
) -> Path:
    """Write meshes [mm], an object and a build item each, and prove it by reading it back.

    `without` names what is not a thing to print, such as the volume that a propeller sweeps.
    Coordinates stay those of the machine. FileWriteError when it can't be written or does not
    hold what was meant.
    """
    kept = {part: mesh for part, mesh in meshes.items() if part not in without}
    write_bytes(path, threemf_bytes(kept, colours, name, title))
    prove_threemf(path, kept, colours)
    return path


def threemf_bytes(
    meshes: Mapping[str, Mesh], colours: Mapping[str, Colour], name: str, title: str = ""
) -> bytes:
    """Return the file's content, of meshes [mm] and colours [1]."""
    if not meshes:
        raise FileWriteError("there is no mesh to write", path=f"{name}.3mf")
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as container:
        for place, text in (
            ("[Content_Types].xml", TYPES),
            ("_rels/.rels", RELATIONS),
            (MODEL_PART, model_xml(meshes, colours, title or name)),
        ):
            entry = zipfile.ZipInfo(place, NO_TIME)
            entry.create_system, entry.external_attr = UNIX, 0o644 << 16
            entry.compress_type = zipfile.ZIP_DEFLATED
            container.writestr(entry, text.encode("utf-8"), compresslevel=6)
    return target.getvalue()


def model_xml(meshes: Mapping[str, Mesh], colours: Mapping[str, Colour], title: str) -> str:
    """Return the model part of the container, of meshes [mm] and colours [1]."""
    bases = "".join(
        f'<base name={quoteattr(part)} displaycolor="{_hex(colours.get(part, PLAIN))}"/>'
        for part in meshes
    )
    objects = [_object(number, part, mesh) for number, (part, mesh) in enumerate(meshes.items())]
    items = "".join(f'<item objectid="{number + 2}"/>' for number in range(len(meshes)))
    return (
        f'{HEAD}<model unit="millimeter" xml:lang="en-US" xmlns="{CORE}">'
        f'<metadata name="Title">{_text(title)}</metadata>'
        '<metadata name="Application">geomgen</metadata>'
        f'<resources><basematerials id="1">{bases}</basematerials>\n{"".join(objects)}'
        f"</resources><build>{items}</build></model>\n"
    )


def _object(number: int, part: str, mesh: Mesh) -> str:
    points = '<vertex x="%.9g" y="%.9g" z="%.9g"/>' * len(mesh.vertices)
    sides = '<triangle v1="%d" v2="%d" v3="%d"/>' * len(mesh.triangles)
    return (
        f'<object id="{number + 2}" type="model" name={quoteattr(part)} pid="1" pindex="{number}">'
        f"<mesh><vertices>{points % tuple(mesh.vertices.reshape(-1).tolist())}</vertices>"
        f"<triangles>{sides % tuple(mesh.triangles.reshape(-1).tolist())}</triangles>"
        "</mesh></object>\n"
    )


def _hex(colour: Colour) -> str:
    return "#" + "".join(f"{round(255 * c):02X}" for c in colour) + "FF"


def _text(words: str) -> str:
    return words.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def prove_threemf(path: Path, meshes: Mapping[str, Mesh], colours: Mapping[str, Colour]) -> None:
    """Read a file back with another library and hold it to the meshes [mm].

    FileWriteError if its unit is not the millimetre, an object is missing, open, inside out or
    elsewhere by more than 1e-4 mm, or its name or colour is another.
    """
    lib3mf: Any = import_module("lib3mf")
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    try:
        reader.ReadFromFile(str(path))
    except lib3mf.ELib3MFException as error:
        raise proof_failed(path, f"it can't be read ({error})") from error
    if reader.GetWarningCount():
        raise proof_failed(path, f"its reader warns: {reader.GetWarning(0)[1]}")
    if model.GetUnit() != lib3mf.ModelUnit.MilliMeter:
        raise proof_failed(path, f"its unit is {model.GetUnit().name}, not the millimetre")
    built = _built(model)
    names = [str(item.GetName()) for item in built]
    if names != list(meshes):
        raise proof_failed(path, f"it builds {', '.join(names)}, not {', '.join(meshes)}")
    for item in built:
        part = str(item.GetName())
        fault = _shape_fault(item, meshes[part]) or _colour_fault(
            model, item, part, colours.get(part, PLAIN)
        )
        if fault:
            raise proof_failed(path, f"{part}: {fault}")


def _built(model: Any) -> list[Any]:
    """Return the mesh object of each build item; one that is moved is none."""
    found = []
    items = model.GetBuildItems()
    while items.MoveNext():
        item = items.GetCurrent()
        thing = item.GetObjectResource()
        if thing.IsMeshObject() and not item.HasObjectTransform():
            found.append(model.GetMeshObjectByID(item.GetObjectResourceID()))
    return found


def _shape_fault(found: Any, mesh: Mesh) -> str:
    """Return what is wrong with an object beside its mesh [mm], or nothing."""
    points: Floats = _rows(found.GetVertices(), "<f4").astype(np.float64)
    triangles: Ints = _rows(found.GetTriangleIndices(), "<u4").astype(np.int64)
    if points.shape != mesh.vertices.shape or not np.array_equal(triangles, mesh.triangles):
        return "its triangles are not those of the mesh"
    off = float(np.abs(points - mesh.vertices).max())
    if off > FLOAT32:
        return f"a vertex is {off:.4g} mm off"
    seen = replace(mesh, vertices=points, triangles=triangles)
    if not (found.IsManifoldAndOriented() and is_closed(seen)):
        return "it is not closed"
    if seen.volume <= 0.0:
        return "it is inside out"
    if abs(seen.volume - mesh.volume) > ROUGH * mesh.volume:
        return f"its volume is {seen.volume:.6g} mm^3, not {mesh.volume:.6g}"
    return ""


def _rows(records: list[Any], kind: str) -> np.ndarray:
    """Return the library's records of three numbers as an array (n, 3)."""
    if not records:
        return np.zeros((0, 3), dtype=kind)
    together = (type(records[0]) * len(records))(*records)
    return np.frombuffer(together, dtype=kind).reshape(-1, 3)


def _colour_fault(model: Any, found: Any, part: str, colour: Colour) -> str:
    group, place, given = found.GetObjectLevelProperty()
    if not given:
        return "it has no material"
    materials = model.GetBaseMaterialGroupByID(group)
    shown = materials.GetDisplayColor(place)
    seen = f"#{shown.Red:02X}{shown.Green:02X}{shown.Blue:02X}{shown.Alpha:02X}"
    if materials.GetName(place) != part or seen != _hex(colour):
        return f"its material is {materials.GetName(place)} {seen}, not {part} {_hex(colour)}"
    return ""
