"""STEP AP242 in millimetres, with names and colours, the same bytes for the same solids.

The kernel writes the geometry. What changes from run to run in its text (time, counters, the order
of colours) is put in fixed form here: header and colours are written by this module.
"""

import itertools
import re
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.Message import Message, Message_Gravity
from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
from OCP.STEPCAFControl import STEPCAFControl_Reader, STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_AsIs
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Shape
from OCP.XCAFApp import XCAFApp_Application
from OCP.XCAFDoc import (
    XCAFDoc_ColorSurf,
    XCAFDoc_ColorTool,
    XCAFDoc_DocumentTool,
    XCAFDoc_ShapeTool,
)

from geomgen.errors import FileWriteError
from geomgen.files.disk import disk_errors, write_bytes

SCHEMA = "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF"
MILLIMETRE = "SI_UNIT(.MILLI.,.METRE.)"
# The standard wants a time; none is better than one that makes equal files differ.
NO_TIME = "1970-01-01T00:00:00"
SETTINGS = {"write.step.schema": "AP242DIS", "write.step.unit": "MM", "xstep.cascade.unit": "MM"}
Colour = tuple[float, float, float]


@dataclass(frozen=True)
class StepPart:
    """One solid read from a file: name, shape [mm], colour (red, green, blue) or None."""

    name: str
    shape: TopoDS_Shape
    colour: Colour | None


def step_name(part: str) -> str:
    """Return the file name of a part's STEP, the unit in it.

    >>> step_name("pod")
    'pod_mm.step'
    """
    return f"{part}_mm.step"


def quiet() -> None:
    """Stop the kernel from talking on the console: only failures are let through."""
    for printer in Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(Message_Gravity.Message_Fail)


def _settings() -> None:
    # They are global to the process and someone else may have changed them: set before each use.
    for key, value in SETTINGS.items():
        if not Interface_Static.SetCVal_s(key, value):
            raise FileWriteError(f"the kernel refuses {key} = {value}", advice="check its version")


def _document() -> TDocStd_Document:
    application = XCAFApp_Application.GetApplication_s()
    document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
    application.InitDocument(document)
    return document


def _named(label: TDF_Label, name: str) -> None:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(name))


def step_bytes(
    shapes: Mapping[str, TopoDS_Shape], colours: Mapping[str, Colour], title: str
) -> bytes:
    """Return the content of a STEP file: one part, or an assembly called `title` of several.

    Shapes are in millimetres [mm], colours red, green and blue [1].
    """
    quiet()
    document = _document()
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    whole = tool.NewShape() if len(shapes) > 1 else None
    if whole is not None:
        _named(whole, title)
    for name, shape in shapes.items():
        label = tool.AddShape(shape, False)
        _named(label, name)
        if whole is not None:
            _named(tool.AddComponent(whole, label, TopLoc_Location()), name)
    tool.UpdateAssemblies()
    text = _transferred(document, title)
    text = _counters(_header(text, title))
    return _coloured(text, colours).encode("ascii", "replace")


def _transferred(document: TDocStd_Document, title: str) -> str:
    writer = STEPCAFControl_Writer()
    _settings()
    writer.SetColorMode(False)
    writer.SetNameMode(True)
    if not writer.Transfer(document, STEPControl_AsIs):
        raise FileWriteError("the kernel can't put it into STEP", path=step_name(title))
    with disk_errors(step_name(title)), tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "raw.step"
        if writer.Write(str(path)) != IFSelect_RetDone:
            raise FileWriteError(
                "the kernel can't write its STEP text",
                path=step_name(title),
                advice=f"is the disk of {tempfile.gettempdir()} full?",
            )
        return path.read_text(encoding="ascii", errors="replace")


def _header(text: str, title: str) -> str:
    schema = re.search(r"FILE_SCHEMA\s*\(\s*\(\s*'([^']*)'", text)
    if schema is None or not schema.group(1).startswith(SCHEMA):
        raise FileWriteError("the kernel wrote another STEP schema", path=step_name(title))
    header = (
        "HEADER;\n"
        f"FILE_DESCRIPTION(('{title}, unit millimetre'),'2;1');\n"
        f"FILE_NAME('{title}','{NO_TIME}',(''),(''),'geomgen','geomgen','');\n"
        f"FILE_SCHEMA(('{schema.group(1)}'));\n"
        "ENDSEC;"
    )
    return re.sub(r"HEADER;.*?ENDSEC;", lambda _: header, text, count=1, flags=re.DOTALL)


def _counters(text: str) -> str:
    """Count the uses of parts from 1 on; the kernel goes on counting from file to file.

    Where it breaks such a line depends on how many digits its counter has, so they are broken anew.
    """
    numbers = itertools.count(1)

    def counted(found: re.Match[str]) -> str:
        rest = re.sub(r"\s*\n\s*", "", found.group(2))
        names, mark, parts = rest.partition("#")
        return f"{found.group(1)}'{next(numbers)}'{names}\n  {mark}{parts});"

    pattern = r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\(\s*)'[^']*'(.*?)\);"
    return re.sub(pattern, counted, text, flags=re.DOTALL)


def _entities(text: str, kinds: Sequence[str]) -> dict[str, dict[str, str]]:
    """Return the wanted kinds of entities: kind to number to arguments."""
    found: dict[str, dict[str, str]] = {kind: {} for kind in kinds}
    pattern = re.compile(rf"#(\d+)\s*=\s*({'|'.join(kinds)})\s*\((.*?)\);", re.DOTALL)
    for number, kind, arguments in pattern.findall(text):
        found[kind][number] = arguments
    return found


SOLIDS = ("MANIFOLD_SOLID_BREP", "BREP_WITH_VOIDS")
CHAIN = (
    "PRODUCT",
    "PRODUCT_DEFINITION_FORMATION",
    "PRODUCT_DEFINITION",
    "PRODUCT_DEFINITION_SHAPE",
    "SHAPE_DEFINITION_REPRESENTATION",
    "ADVANCED_BREP_SHAPE_REPRESENTATION",
    *SOLIDS,
)


def _bodies(text: str) -> dict[str, tuple[str, str]]:
    """Return for each product's name the numbers of its solid and of its context."""
    found = _entities(text, CHAIN)
    solids = {number for kind in SOLIDS for number in found[kind]}
    names: dict[str, tuple[str, str]] = {}
    for arguments in found["SHAPE_DEFINITION_REPRESENTATION"].values():
        shape, body = re.findall(r"#(\d+)", arguments)
        representation = found["ADVANCED_BREP_SHAPE_REPRESENTATION"].get(body)
        if representation is None:
            continue
        definition = re.findall(r"#(\d+)", found["PRODUCT_DEFINITION_SHAPE"][shape])[-1]
        formation = re.findall(r"#(\d+)", found["PRODUCT_DEFINITION"][definition])[0]
        product = re.findall(r"#(\d+)", found["PRODUCT_DEFINITION_FORMATION"][formation])[-1]
        name = found["PRODUCT"][product].split("'")[1]
        numbers = re.findall(r"#(\d+)", representation)
        names[name] = (next(n for n in numbers if n in solids), numbers[-1])
    return names


def _coloured(text: str, colours: Mapping[str, Colour]) -> str:
    """Append a surface colour for every part that has one (ISO 10303-46 presentation styles)."""
    bodies = _bodies(text)
    last = max(int(number) for number in re.findall(r"^#(\d+) ?=", text, re.MULTILINE))
    rows = []
    for name, (solid, context) in bodies.items():
        if name not in colours:
            continue
        red, green, blue = colours[name]
        n = [f"#{last + i}" for i in range(1, 10)]
        last += 9
        rows += [
            f"{n[0]} = MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',"
            f"({n[1]}),#{context});",
            f"{n[1]} = STYLED_ITEM('color',({n[2]}),#{solid});",
            f"{n[2]} = PRESENTATION_STYLE_ASSIGNMENT(({n[3]}));",
            f"{n[3]} = SURFACE_STYLE_USAGE(.BOTH.,{n[4]});",
            f"{n[4]} = SURFACE_SIDE_STYLE('',({n[5]}));",
            f"{n[5]} = SURFACE_STYLE_FILL_AREA({n[6]});",
            f"{n[6]} = FILL_AREA_STYLE('',({n[7]}));",
            f"{n[7]} = FILL_AREA_STYLE_COLOUR('',{n[8]});",
            f"{n[8]} = COLOUR_RGB('',{red:.6f},{green:.6f},{blue:.6f});",
        ]
    if not rows:
        return text
    head, _, tail = text.rpartition("ENDSEC;")
    return head + "\n".join(rows) + "\nENDSEC;" + tail


def write_step(
    folder: Path,
    shapes: Mapping[str, TopoDS_Shape],
    colours: Mapping[str, Colour],
    title: str,
) -> Path:
    """Write shapes [mm] with colours [1] as `<title>_mm.step`; FileWriteError when that fails."""
    path = folder / step_name(title)
    write_bytes(path, step_bytes(shapes, colours, title))
    return path


def read_step(path: Path) -> list[StepPart]:
    """Return the parts of a STEP file [mm], those of an assembly in their places."""
    quiet()
    document = _document()
    reader = STEPCAFControl_Reader()
    _settings()
    reader.SetColorMode(True)
    reader.SetNameMode(True)
    if reader.ReadFile(str(path)) != IFSelect_RetDone or not reader.Transfer(document):
        raise FileWriteError("it can't be read back", path=path.name, advice="write it again")
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    free = TDF_LabelSequence()
    shapes.GetFreeShapes(free)
    found: list[StepPart] = []
    for i in range(1, free.Length() + 1):
        _collect(free.Value(i), TopLoc_Location(), found)
    return found


def _collect(label: TDF_Label, place: TopLoc_Location, found: list[StepPart]) -> None:
    if not XCAFDoc_ShapeTool.IsAssembly_s(label):
        shape = XCAFDoc_ShapeTool.GetShape_s(label).Located(place)
        found.append(StepPart(_name(label), shape, _colour(label)))
        return
    parts = TDF_LabelSequence()
    XCAFDoc_ShapeTool.GetComponents_s(label, parts)
    for i in range(1, parts.Length() + 1):
        component, part = parts.Value(i), TDF_Label()
        XCAFDoc_ShapeTool.GetReferredShape_s(component, part)
        moved = place.Multiplied(XCAFDoc_ShapeTool.GetLocation_s(component))
        _collect(part, moved, found)


def _name(label: TDF_Label) -> str:
    name: Any = TDataStd_Name()
    if not label.FindAttribute(TDataStd_Name.GetID_s(), name):
        return ""
    return str(name.Get().ToExtString())


def _colour(label: TDF_Label) -> Colour | None:
    colour = Quantity_Color()
    if not XCAFDoc_ColorTool.GetColor_s(label, XCAFDoc_ColorSurf, colour):
        return None
    red, green, blue = colour.Values(Quantity_TOC_sRGB)
    return (float(red), float(green), float(blue))
