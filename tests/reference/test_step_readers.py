"""Another program's STEP reader must find the same solid: gmsh, and the closed form beside it.

Reference library: gmsh 4.15 (its own import, healing and mass properties on its copy of the
kernel). Closed forms: torus and box with a drilled hole (solid geometry, DERIVED).
"""

from math import pi, sqrt

import numpy as np
import pytest
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakeTorus
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

from geomgen.files.step import write_step
from geomgen.kernel.brep.primitives import moved
from geomgen.kernel.lofting.bodies import body, outer_skin, tube
from geomgen.kernel.lofting.lines import Stations, lay
from geomgen.kernel.lofting.offsets import offset_skin
from geomgen.kernel.solids.booleans import solids_of
from geomgen.kernel.solids.properties import bounding_box, volume

gmsh = pytest.importorskip("gmsh")


@pytest.fixture
def reader():
    gmsh.initialize(interruptible=False)
    gmsh.option.setNumber("General.Terminal", 0)
    gmsh.option.setString("Geometry.OCCTargetUnit", "MM")
    gmsh.option.setNumber("Mesh.MeshSizeMax", 1.0)
    yield gmsh
    gmsh.finalize()


def read(reader, path):
    found = reader.model.occ.importShapes(str(path))
    reader.model.occ.synchronize()
    assert all(dimension == 3 for dimension, _ in found)
    return [tag for _, tag in found]


def lines():
    x = np.array([0.0, 100.0, 300.0, 700.0])
    r = np.array([0.0, 60.0, 90.0, 50.0])
    one = np.ones(4) / sqrt(2)
    return lay(Stations(x, r, -0.8 * r, 0.9 * r, 0.1 * r, one, one, "round", "flat"))


def drilled():
    knife = BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(300, -200, 5), gp_Dir(0, 1, 0)), 25.0, 400.0)
    hull = tube(outer_skin(lines()), offset_skin(lines(), 3.0, None, 700.0), "hull")
    return solids_of(BRepAlgoAPI_Cut(hull, knife.Shape()).Shape())[0]


SOLIDS = {
    "torus": (BRepPrimAPI_MakeTorus(30.0, 10.0).Shape(), 2 * pi**2 * 30 * 100),
    "plate": (
        BRepAlgoAPI_Cut(
            BRepPrimAPI_MakeBox(gp_Pnt(-50, -50, 0), gp_Pnt(50, 50, 5)).Shape(),
            BRepPrimAPI_MakeCylinder(20.0, 5.0).Shape(),
        ).Shape(),
        100 * 100 * 5 - pi * 400 * 5,
    ),
    "spindle": (body(outer_skin(lines()), "spindle"), None),
    "drilled hull": (drilled(), None),
}


@pytest.mark.parametrize("name", SOLIDS)
def test_gmsh_finds_the_same_solid(name, tmp_path, reader):
    shape, exact = SOLIDS[name]
    (tag,) = read(reader, write_step(tmp_path, {"part": shape}, {"part": (0.1, 0.5, 0.9)}, "part"))
    # gmsh integrates by the kernel's default rule, which is rough on splines (1e-3 at worst here).
    near = 1e-9 if exact is not None else 5e-3
    assert reader.model.occ.getMass(3, tag) == pytest.approx(
        exact if exact is not None else volume(shape).value, rel=near
    )
    # All these bodies reach farthest on an edge; gmsh lays its own points there, 1 mm apart, which
    # misses an extreme by (1/2)^2 / 2 r at most.
    reader.model.mesh.generate(1)
    points = np.array(reader.model.mesh.getNodes()[1]).reshape(-1, 3)
    box = bounding_box(shape)
    assert points.min(axis=0) == pytest.approx(box.low, abs=0.01)
    assert points.max(axis=0) == pytest.approx(box.high, abs=0.01)


def test_gmsh_finds_every_solid_of_an_assembly_in_its_place(tmp_path, reader):
    parts = {"ring": SOLIDS["torus"][0], "plate": solids_of(SOLIDS["plate"][0])[0]}
    parts["far"] = moved(parts["plate"], (1000.0, -500.0, 250.0))
    tags = read(reader, write_step(tmp_path, parts, {}, "all"))
    assert len(tags) == 3
    masses = sorted(reader.model.occ.getMass(3, tag) for tag in tags)
    wanted = sorted([SOLIDS["torus"][1], SOLIDS["plate"][1], SOLIDS["plate"][1]])
    assert masses == pytest.approx(wanted, rel=1e-9)
    centres = [reader.model.occ.getCenterOfMass(3, tag) for tag in tags]
    assert any(np.allclose(c, [1000.0, -500.0, 252.5], atol=1e-6) for c in centres)


def test_the_unit_is_read_as_millimetres(tmp_path, reader):
    reader.option.setString("Geometry.OCCTargetUnit", "M")
    (tag,) = read(reader, write_step(tmp_path, {"part": SOLIDS["torus"][0]}, {}, "part"))
    assert reader.model.occ.getMass(3, tag) == pytest.approx(SOLIDS["torus"][1] * 1e-9, rel=1e-9)
