"""Meshes of the example's parts, ours beside others, at the same measured deviation.

Ratios of one run on one machine, printed and kept in `extra_info`; nothing is asserted on time.
`RESULTS.md` beside this file has the table. Run with `-m benchmark -n 0 -s`.
"""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from benchmarks.mesh_measure import Soup, deviation, faces, patch_of
from benchmarks.mesh_rivals import ROUNDS, adjusted, floor, gmsh_mesher, kernel_mesher, timed
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
from OCP.BRepTools import BRepTools
from OCP.gp import gp_Pnt

from geomgen.kernel.meshing.proven import meshed

pytestmark = pytest.mark.benchmark
TOLERANCE = 0.1
PARTS = (
    "prop_disc",
    "spinner",
    "boom_right",
    "firewall",
    "tailplane",
    "wheel_nose",
    "scoop_cheek_right",
    "wing",
    "pod",
)


def ours(solid):
    """Return the mesh with the least seconds of `ROUNDS`, whole and without the proof."""
    from geomgen.kernel.meshing.deviation import deviation as proof

    whole, proving = [], []
    for _ in range(ROUNDS):
        made, own, wall = timed(lambda: meshed(solid, TOLERANCE))
        whole.append((own, wall))
        proving.append(timed(lambda made=made: proof(solid, made.mesh))[1])
    own, wall = min(whole)
    return made, own, wall, max(0.0, own - min(proving))


def shown(name, who, triangles, off, own, wall, base):
    """Print one line of the table: triangles and seconds, and both over the floor's."""
    print(
        f"| {name} | {who} | {triangles} | {off:.4f} | {own:.3f} | {wall:.3f} |"
        f" {triangles / base.triangles:.2f} | {own / base.seconds:.1f} |"
    )


@pytest.mark.parametrize("name", PARTS)
def test_mesh_of_a_part(name, benchmark, saltmarsh_model) -> None:
    solid = saltmarsh_model.parts[name]
    patches = [patch_of(face) for face in faces(solid)]
    made, own, wall, bare = ours(solid)
    benchmark.pedantic(meshed, (solid, TOLERANCE), rounds=1)
    off = deviation(Soup(made.mesh.corners, made.mesh.face), patches)
    # Beside borders the measure looks at one face only, unless the distance is large.
    assert off == pytest.approx(made.deviation.mesh_to_solid, rel=0.06)
    assert off <= TOLERANCE
    base = floor(solid, TOLERANCE)
    kernel = adjusted(kernel_mesher(solid), patches, TOLERANCE, TOLERANCE, 1.0)
    count = len(made.mesh.triangles)
    print()
    shown(name, "floor", base.triangles, base.deviation, base.seconds, base.wall, base)
    shown(name, "ours, proved", count, off, own, wall, base)
    shown(name, "ours, no proof", count, off, bare, bare, base)
    k = kernel
    shown(name, "kernel's mesher", k.triangles, k.deviation, k.seconds, k.wall, base)
    benchmark.extra_info["triangles_over_floor"] = count / base.triangles
    benchmark.extra_info["seconds_over_floor"] = own / base.seconds
    benchmark.extra_info["kernel_triangles_over_ours"] = kernel.triangles / count
    benchmark.extra_info["kernel_seconds_over_ours"] = kernel.seconds / own


@pytest.mark.parametrize("name", ["prop_disc", "spinner", "firewall"])
def test_gmsh_of_a_part(name, benchmark, saltmarsh_model, tmp_path) -> None:
    """Of the small parts only: gmsh takes a minute for a boom."""
    solid = saltmarsh_model.parts[name]
    path = str(tmp_path / "part.brep")
    BRepTools.Write_s(solid, path)
    patches = [patch_of(face) for face in faces(solid)]
    base = floor(solid, TOLERANCE)
    made, own, _, _ = ours(solid)
    found = adjusted(gmsh_mesher(path), patches, TOLERANCE, 120.0, -2.0)
    benchmark.pedantic(lambda: None, rounds=1)
    print()
    shown(name, "gmsh", found.triangles, found.deviation, found.seconds, found.wall, base)
    benchmark.extra_info["gmsh_triangles_over_ours"] = found.triangles / len(made.mesh.triangles)
    benchmark.extra_info["gmsh_seconds_over_ours"] = found.seconds / own
    benchmark.extra_info["gmsh_deviation_mm"] = found.deviation


MEMORY = """
import sys
from OCP.BinTools import BinTools
from OCP.TopoDS import TopoDS_Shape
sys.path.insert(0, {here!r})
from geomgen.kernel.meshing.proven import meshed
from benchmarks.mesh_rivals import kernel_mesher, gmsh_mesher
shape = TopoDS_Shape()
BinTools.Read_s(shape, {path!r})
def most():
    line = next(x for x in open("/proc/self/status") if x.startswith("VmHWM"))
    return int(line.split()[1]) // 1024
before = most()
if {who!r} == "ours":
    meshed(shape, {tolerance})
else:
    kernel_mesher(shape)({tolerance})
print(before, most())
"""


@pytest.mark.parametrize("who", ["ours", "kernel"])
def test_memory_of_a_mesh_of_the_pod(who, benchmark, saltmarsh_model, tmp_path) -> None:
    from OCP.BinTools import BinTools

    path = str(tmp_path / "pod.bin")
    BinTools.Write_s(saltmarsh_model.parts["pod"], path)
    here = str(Path(__file__).parents[1])
    script = MEMORY.format(here=here, path=path, who=who, tolerance=TOLERANCE)
    run = benchmark.pedantic(
        lambda: subprocess.run([sys.executable, "-c", script], capture_output=True, text=True),
        rounds=1,
    )
    assert run.returncode == 0, run.stderr
    before, peak = map(int, run.stdout.split())
    print(f"\n| pod | {who} | {before} MB with the solid read | {peak} MB at most |")
    benchmark.extra_info["before_mb"], benchmark.extra_info["peak_mb"] = before, peak


def test_the_measure_gives_the_sag_of_a_cylinder() -> None:
    """Closed form: a regular prism of n sides is r (1 - cos(pi / n)) off its cylinder."""
    radius, sides = 50.0, 40
    solid = BRepPrimAPI_MakeCylinder(radius, 80.0).Shape()
    turn = 2 * np.pi * np.arange(sides + 1) / sides
    ring = np.stack([radius * np.cos(turn), radius * np.sin(turn), 0 * turn], axis=-1)
    top = ring + np.array([0.0, 0.0, 80.0])
    corners = np.concatenate(
        [np.stack([ring[:-1], ring[1:], top[1:]], 1), np.stack([ring[:-1], top[1:], top[:-1]], 1)]
    )
    patches = [patch_of(face) for face in faces(solid)]
    sag = radius * (1 - np.cos(np.pi / sides))
    found = deviation(Soup(corners, np.zeros(len(corners), dtype=int)), patches)
    assert found == pytest.approx(sag, rel=1e-6)


def test_the_measure_agrees_with_the_kernels_own_distance(saltmarsh_model) -> None:
    """Reference library: the kernel's distance from a point to the whole solid, no farther."""
    solid = saltmarsh_model.parts["boom_right"]
    soup, *_ = kernel_mesher(solid)(2.0)
    patches = [patch_of(face) for face in faces(solid)]
    rng = np.random.default_rng(5)
    chosen = rng.choice(len(soup.face), 60, replace=False)
    for number in chosen.tolist():
        one = Soup(soup.corners[[number]], soup.face[[number]])
        middle = one.corners[0].mean(axis=0)
        vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*middle.tolist())).Vertex()
        exact = BRepExtrema_DistShapeShape(vertex, solid).Value()
        assert deviation(one, patches) >= exact - 1e-6
