"""Where wings, tails, booms, firewall and blades stand: what the file says against the solids.

A wing can stand wrong and nobody is told, where
- its root turns about another point than the leading edge that the file places: seen here;
- a place that hangs on a part ("wing trailing edge") is not where that part's solid is: seen here
  for each such place but "fan face", which no solid has, and the pod's and the exit's ends;
- sweep and dihedral start elsewhere than at the root's quarter chord: seen here;
- the numbers of the file are not the builder's drawing: not seen, nothing can tell.

Closed forms of the turned section; the solids' own vertices and distances.
"""

from math import cos, radians, sin, tan

import numpy as np
import pytest
from OCP.BRep import BRep_Tool
from OCP.TopAbs import TopAbs_SHELL, TopAbs_VERTEX
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS
from surveyed_models import surveyed

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import ring
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis
from geomgen.kernel.solids.distance import closest, vertex
from geomgen.kernel.solids.properties import bounding_box
from geomgen.measurements.propeller.questions import PROPELLER
from geomgen.shapes.booms import booms
from geomgen.shapes.lifting import fins, pylon, tailplane, wing
from geomgen.shapes.propeller import prop_disc

TURNED = ("wing.incidence=5 deg", "wing.sections.0.washout=1 deg", "tailplane.incidence=-6 deg")
FOILS = tuple(f'wing.sections.{i}.aerofoil="NACA 0012"' for i in range(3))
# The corners of the trailing edge are exact; the distance to a round nose is so exact [mm].
SAME, NEAR = 1e-6, 1e-4


def corners(solid, across: int, at: float):
    """Return the solid's own corners (n, 3) [mm] in a plane square to an axis."""
    found, search = [], TopExp_Explorer(solid, TopAbs_VERTEX)
    while search.More():
        p = BRep_Tool.Pnt_s(TopoDS.Vertex(search.Current()))
        found.append((p.X(), p.Y(), p.Z()))
        search.Next()
    points = np.array(found)
    return points[np.abs(points[:, across] - at) < SAME]


def trailing(solid, nose, across: int = 1):
    """Return the middle [mm] of the blunt edge: of its two corners, furthest from the nose."""
    points = corners(solid, across, nose[across])
    far = np.linalg.norm(points - nose, axis=1)
    return points[far > far.max() - SAME].mean(axis=0)


def off(solid, point) -> float:
    """Return how far a point [mm] is from the solid's skin."""
    shell = TopExp_Explorer(solid, TopAbs_SHELL).Current()
    return closest(vertex(tuple(map(float, point))), shell).distance


def hung(variant, name: str, along: str, *more: str) -> float:
    """Return where a place that is named stands [mm]."""
    if along == "station":
        p = variant(*more, "handoff.foam.start=-1 m", f'handoff.foam.end="{name}"')
        return p.handoff.foam.end
    return variant(*more, f'booms.stations.0.waterline="{name}"').booms.stations[0].waterline


@pytest.mark.parametrize("turned", [(), TURNED, ("wing.incidence=-7 deg",)])
def test_the_roots_leading_edge_stands_where_the_file_says(variant, turned) -> None:
    """At any incidence; the trailing edge hangs below by the chord's sine."""
    p = variant(*turned, *FOILS)
    for table, solid in ((p.wing, wing(p).solid), (p.tailplane, tailplane(p).solid)):
        nose = (table.leading_edge, 0.0, table.waterline)
        root, turn = table.sections[0], radians(table.incidence - table.sections[0].washout)
        assert off(solid, nose) < NEAR
        edge = trailing(solid, nose)
        due = (nose[0] + root.chord * cos(turn), 0.0, nose[2] - root.chord * sin(turn))
        assert edge == pytest.approx(due, abs=SAME)


@pytest.mark.parametrize("turned", [(), TURNED])
def test_each_place_on_a_wing_or_tail_is_that_of_its_solid(variant, turned) -> None:
    more = (*turned, *FOILS)
    p = variant(*more)
    height = p.fins.waterline + p.fins.sections[0].height
    parts = {
        "wing": (wing(p).solid, p.wing, (0.0, p.wing.waterline), 1),
        "tailplane": (tailplane(p).solid, p.tailplane, (0.0, p.tailplane.waterline), 1),
        "fin": (fins(p)[0].solid, p.fins, (p.fins.buttock_line, height), 2),
        "pylon": (pylon(p).solid, p.pylon, (0.0, p.pylon.waterline_low), 2),
    }
    for name, (solid, _, (out, level), across) in parts.items():
        edge = hung(variant, f"{name} leading edge", "station", *more)
        nose = (edge, out, level)
        assert off(solid, nose) < NEAR
        aft = hung(variant, f"{name} trailing edge", "station", *more)
        assert trailing(solid, nose, across)[0] == pytest.approx(aft, abs=SAME), name
    level = hung(variant, "wing leading edge", "waterline", *more)
    assert off(parts["wing"][0], (p.wing.leading_edge, 0.0, level)) < NEAR


def test_an_untwisted_wing_reaches_from_leading_to_trailing_edge(variant) -> None:
    """By the solid's own box, where nothing turns: both ends of a symmetrical section."""
    level = ("wing.incidence=0 deg", "wing.sections.2.washout=0 deg", *FOILS)
    box = bounding_box(wing(variant(*level)).solid)
    for name, reach in (("leading", box.low[0]), ("trailing", box.high[0])):
        assert hung(variant, f"wing {name} edge", "station", *level) == pytest.approx(
            reach, abs=SAME
        )


def test_sweep_and_dihedral_run_from_the_turned_roots_quarter_chord(variant) -> None:
    p = variant(*TURNED, *FOILS, "wing.sections.2.washout=3 deg", "wing.sections.2.sweep=9 deg")
    w, solid = p.wing, wing(p).solid
    first, middle, tip = w.sections
    root, end = (radians(w.incidence - row.washout) for row in (first, tip))
    quarter = np.array([w.leading_edge, 0.0, w.waterline])
    quarter += first.chord / 4 * np.array([cos(root), 0.0, -sin(root)])
    for inner, outer in ((first, middle), (middle, tip)):
        out = outer.buttock_line - inner.buttock_line
        ways = (tan(radians(outer.sweep)), 1.0, tan(radians(outer.dihedral)))
        quarter += out * np.array(ways)
    nose = quarter - tip.chord / 4 * np.array([cos(end), 0.0, -sin(end)])
    assert off(solid, nose) < NEAR
    due = nose + tip.chord * np.array([cos(end), 0.0, -sin(end)])
    assert trailing(solid, nose) == pytest.approx(due, abs=SAME)


def test_places_on_booms_and_blades_are_those_of_their_solids(variant) -> None:
    p = variant(*TURNED)
    boom, disc = bounding_box(booms(p)[0].solid), loose_box(prop_disc(p).solid)
    assert hung(variant, "boom start", "station", *TURNED) == pytest.approx(boom.low[0], abs=SAME)
    assert hung(variant, "boom end", "station", *TURNED) == pytest.approx(boom.high[0], abs=SAME)
    middle = (disc.low[0] + disc.high[0]) / 2
    assert hung(variant, "blades", "station", *TURNED) == pytest.approx(middle, abs=1e-4)


@pytest.mark.parametrize("incidence", [6.0, pytest.param(0.0, marks=pytest.mark.long)])
def test_the_gap_before_the_blades_is_that_of_the_wing_as_the_file_places_it(
    variant, incidence
) -> None:
    """A disc a hand's breadth behind the edge; all goes through the survey."""
    p = variant(*FOILS, f"wing.incidence={incidence} deg", "wing.sections.2.washout=0 deg")
    turn, chord = radians(incidence), p.wing.sections[0].chord
    edge = p.wing.leading_edge + chord * cos(turn) + sin(turn) * p.wing.trailing_edge_thickness / 2
    front = edge + 120.0
    axis = Axis((front + 40.0, 0.0, p.wing.waterline), (1.0, 0.0, 0.0))
    parts = {"wing": wing(p).solid, "prop_disc": ring(axis, -40.0, 40.0, 60.0, 500.0)}
    model = Model(parts=parts, families={n: n for n in parts}, thrust_line=axis)
    found = surveyed(model, 0.05, PROPELLER)["prop.trailing_edge_gap"]
    assert found.value == pytest.approx(120.0 / chord, abs=max(found.error_bound, 2e-4))
