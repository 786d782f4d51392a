"""Solving on solids against closed forms: a scoop's mouth, a boom's distance, a sheet's mass.

Sources: plane and solid geometry, status DERIVED. Each part is built alone, so that a step takes
a part of a second; it goes through the same file, checks and search as the whole aircraft.
"""

import math
from pathlib import Path
from types import SimpleNamespace

import pytest
from asking import propeller_figures
from one_look import inlets

from geomgen.measurements.record import Measurement
from geomgen.parameters import load
from geomgen.sizing.targets import conversions, figures
from geomgen.solving.question import SolveQuestion
from geomgen.solving.solve import solve
from geomgen.verdicts.conversions import converted
from geomgen.verdicts.judge import judge

SALTMARSH = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"


def state(p, measured):
    """Judge what was measured; what a part alone can't have is not due."""
    rows = converted(measured, conversions(p))
    ids = {row.id for row in rows}
    return SimpleNamespace(checks=tuple(judge(rows, [t for t in figures(p) if t.id in ids])))


def mouths(p):
    """Measure the mouth of each scoop as it stands off the skin."""
    from geomgen.kernel.model import Model
    from geomgen.shapes.hull import pod_lines
    from geomgen.shapes.piece import NamedSolid
    from geomgen.shapes.scoop import course, pipe, scoop_names
    from geomgen.shapes.scoop_route import routes

    pod = pod_lines(p)
    names = scoop_names(p, 0)
    right = NamedSolid(names[0], "scoop", pipe(p, 0, course(p, pod, 0)), (0, 0, 0))
    pieces = [right, right.on_the_left()][: len(names)]
    model = Model(
        parts={piece.name: piece.solid for piece in pieces},
        families={piece.name: "scoop" for piece in pieces},
        passages=routes(p, pod),
    )
    return state(p, inlets(model))


def tips(p):
    """Measure the swept volume of the blades against the booms."""
    from dataclasses import replace

    from geomgen.shapes.assembly.places import places
    from geomgen.shapes.booms import booms
    from geomgen.shapes.propeller import prop_disc

    pieces = [*booms(p), prop_disc(p)]
    model = replace(
        places(p),
        parts={piece.name: piece.solid for piece in pieces},
        families={piece.name: piece.family for piece in pieces},
        struts=[],
    )
    return state(p, [propeller_figures(model)["prop.radial_clearance"]])


def sheet(p):
    """Weigh the firewall."""
    from geomgen.kernel.solids.properties import volume
    from geomgen.shapes.firewall import firewall
    from geomgen.shapes.hull import pod_lines

    body = volume(firewall(p, pod_lines(p)).solid)
    row = Measurement("firewall.volume", "firewall", "", body.value, "mm3", "", body.error)
    return state(p, [row])


def run(tmp_path, make, free: str, until: str, **more):
    question = SolveQuestion(SALTMARSH, (free,), (until,), **more)
    return solve(question, tmp_path, regenerate=make)


@pytest.mark.long
def test_the_height_of_a_mouth_for_an_asked_area(tmp_path) -> None:
    """Two mouths of w h - (4 - pi) r^2 each."""
    found = run(tmp_path, mouths, "scoops.cheek.height=35mm:90mm", "inlet.area=170 cm^2")
    p = load(SALTMARSH)
    width, radius = p.scoops[0].width, p.scoops[0].corner_radius
    due = (17000 / 2 + (4 - math.pi) * radius**2) / width
    (height,) = found.solved.answer.values
    assert height == pytest.approx(due, abs=0.05)
    assert found.solved.met
    again = load(found.file)
    assert again.scoops[0].height == height
    assert len(found.solved.points) <= 8


@pytest.mark.long
def test_a_mouth_that_no_height_within_the_bounds_can_have(tmp_path) -> None:
    found = run(tmp_path, mouths, "scoops.cheek.height=35mm:60mm", "inlet.area=500 cm^2")
    assert found.solved.status == "not met"
    assert found.solved.answer.values == (60.0,)
    assert found.file is None
    assert len(found.solved.points) <= 7
    assert not list(tmp_path.iterdir())


def straight(tmp_path) -> Path:
    """Return a file whose booms are cylinders along the thrust line, beside the blades' plane."""
    row = 'station = "{}"\nwaterline = "820 mm"\nwidth = "90 mm"\nheight = "90 mm"\n'
    rows = "".join(f"[[booms.stations]]\n{row.format(x)}\n" for x in ("1580 mm", "4800 mm"))
    text = f'extends = "{SALTMARSH.name}"\n[booms]\nnose = "flat"\ntail = "flat"\n{rows}'
    folder = tmp_path / "in"
    folder.mkdir()
    for name in ("saltmarsh.toml", "curlew.dat"):
        (folder / name).write_bytes((SALTMARSH.parent / name).read_bytes())
    (folder / "straight.toml").write_text(text)
    return folder / "straight.toml"


@pytest.mark.long
def test_the_distance_of_the_booms_for_a_clearance_of_the_tips(tmp_path) -> None:
    """A cylinder along the shaft: buttock line less its radius less the swept tip radius."""
    file = straight(tmp_path)
    question = SolveQuestion(
        file, ("booms.buttock_line=680mm:900mm",), ("prop.radial_clearance=123.4 mm",)
    )
    found = solve(question, tmp_path, regenerate=tips)
    p = load(file)
    tip = p.propeller.diameter / 2 + p.propeller.mount_travel_radial
    assert found.solved.answer.values[0] == pytest.approx(123.4 + 45.0 + tip, abs=0.05)
    assert found.solved.met
    assert load(found.file).booms.buttock_line == found.solved.answer.values[0]
    # Its own text names only what it extends, from where it stands.
    assert 'extends = "in/saltmarsh.toml"' in found.file.read_text()


def test_the_thickness_of_a_firewall_for_a_mass(tmp_path) -> None:
    """A sheet's mass is nearly its thickness times what a thin one has by millimetre."""
    found = run(
        tmp_path,
        sheet,
        "firewall.thickness=0.4mm:1mm",
        "firewall.mass<=1.5 kg",
        overrides=("firewall.flange=25 mm",),
        steps=("0.01 mm",),
    )
    assert (found.solved.answer.values, found.solved.status) == ((0.4,), "holds")
    found = run(
        tmp_path,
        sheet,
        "firewall.thickness=0.4mm:1mm",
        "firewall.mass=2 kg",
        steps=("0.01 mm",),
    )
    (thin,) = found.solved.answer.values
    start = found.solved.former.mass
    assert thin == pytest.approx(2.0 / start * 0.4, rel=0.01)
    assert found.solved.answer.mass == pytest.approx(2.0, abs=0.02)
    # Too heavy for the limit of the file itself, and that is said.
    assert [check.id for check in found.solved.broken] == ["firewall.mass"]
