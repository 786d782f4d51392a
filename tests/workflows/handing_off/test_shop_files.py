"""What a shop's files carry along: the pieces are held against the builder's stock."""

import numpy as np
import pytest
import trimesh

from geomgen.errors import FileWriteError
from geomgen.files.manifest import verify, write_manifest
from geomgen.files.parts import write_marked
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.model import Model
from geomgen.kernel.trimming.scribed import MarkedMesh, SkinRun, VMark, scribed
from geomgen.parameters.records.stock import Stock
from geomgen.shops.product import Item, Package, ShopSolid
from geomgen.workflows.handing_off import shop_files


def test_a_piece_too_large_for_the_router_reaches_the_findings(saltmarsh, tmp_path, monkeypatch):
    router = {"length": "1 m", "width": "600 mm", "height": "300 mm"}
    stock = Stock.model_validate({"router": router})
    p = saltmarsh.model_copy(
        update={"handoff": saltmarsh.handoff.model_copy(update={"stock": stock})}
    )
    plug = Item("plug", "pod", "", "plug block", (1250.0, 500.0, 200.0))
    package = Package("mould_maker", items=(plug,))
    monkeypatch.setattr(shop_files, "makers", lambda _: {"moulds": lambda *_: package})
    made = shop_files._made(tmp_path, p, Model(), "", "moulds")
    assert [(c.id, c.verdict, c.measured) for c in made.findings] == [
        ("stock.fit.router.mould_maker", "fail", 250.0)
    ]


@pytest.fixture(scope="module")
def block():
    """Return a block of 200 x 100 x 50 mm and its mesh with a groove 100 mm long, 1 x 0.5 mm."""
    solid = box((0.0, 0.0, 0.0), (200.0, 100.0, 50.0))
    at = np.c_[np.linspace(50.0, 150.0, 11), np.full(11, 50.0), np.full(11, 50.0)]
    run = SkinRun(at, np.tile([0.0, 0.0, 1.0], (11, 1)))
    return solid, scribed(mesh(solid, 0.1), [run], VMark(0.5, 1.0), "block")


def test_a_marked_mesh_is_a_file_of_its_own_beside_the_smooth_step(saltmarsh, tmp_path, block):
    solid, marked = block
    made = ShopSolid("block", "pod", solid, "right", "grooves", marked)
    entries = shop_files._solid(tmp_path, saltmarsh, made)
    assert [(e["file"], e["what"]) for e in entries] == [
        ("block_mm.stl", "mesh"),
        ("block_mm.step", "solid"),
        ("block_marked_mm.stl", "marked mesh"),
    ]
    assert {e["note"] for e in entries} == {"grooves"}
    assert made.files == ("block", "block_marked")
    write_manifest(tmp_path, {"files": entries})
    assert verify(tmp_path) == []
    # Area of the V times its length, half a width past both ends; another library reads the file.
    body = trimesh.load(tmp_path / "block_marked_mm.stl")
    assert body.is_watertight
    assert body.volume == pytest.approx(1e6 - 101.0 * 0.25, abs=0.05)
    assert entries[2]["mesh_volume_mm3"] == pytest.approx(body.volume, rel=1e-6)


def test_an_open_marked_mesh_is_not_handed_off(tmp_path, block):
    marked = block[1]
    torn = MarkedMesh(marked.vertices, marked.triangles[1:], marked.volume)
    with pytest.raises(FileWriteError, match="not watertight"):
        write_marked(tmp_path, "block_marked", torn, 0.1)
