"""A bar through a round body of foam: what it takes out of each slab. Closed forms."""

from types import SimpleNamespace

import numpy as np
import pytest
from shapely import Polygon
from shops.foam.rings import ring, section, slab

from geomgen.drafting.record import CUT
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.model import Model
from geomgen.parameters.records.shops import FoamStations
from geomgen.shops.foam.cutouts import cut_volume, cut_words, passing_finding, slab_cuts
from geomgen.shops.foam.nests import items
from geomgen.shops.foam.sheet import outline_path
from geomgen.shops.foam.templates import JointTemplate, template_sheets
from geomgen.shops.passing_parts import cut_out, passing_parts, passing_words

GAP = 2.0


def asked(*joints):
    return SimpleNamespace(joints=[SimpleNamespace(trim=a, to=b, gap=GAP) for a, b in joints])


def through(half_span=800.0):
    """A bar from STA 60 to 140, 40 high, across a rod of 100 mm radius about WL 500."""
    wing = box((60.0, -half_span, 480.0), (140.0, half_span, 520.0))
    return Model(parts={"wing": wing}, families={"wing": "wing"})


def rods():
    return [slab(i + 1, 50.0 * i, 50.0 * (i + 1), [ring(100.0)] * 3) for i in range(4)]


def strip(half_height):
    """Area of a strip of a circle of 100 mm about its middle (closed form)."""
    r = 100.0
    edge = np.sqrt(r**2 - half_height**2)
    return 2 * (half_height * edge + r**2 * np.arcsin(half_height / r))


def test_only_what_the_pod_is_trimmed_to_passes_through_it():
    assert passing_parts(asked(("wing", "pod")), through()) == []
    (part,) = passing_parts(asked(("pod", "wing")), through())
    assert (part.low, part.high) == pytest.approx((58.0, 142.0), abs=1e-6)
    assert passing_words([part], 50.0, 100.0) == "the wing passes through it at STA 58 to 100"
    assert passing_words([part], 0.0, 50.0) == ""


def test_slabs_that_are_passed_say_so_and_lose_what_is_cut_out():
    cuts = slab_cuts(passing_parts(asked(("pod", "wing")), through()), rods())
    assert [cut.any for cut in cuts] == [False, True, True, False]
    face = cuts[1].at[2]
    assert face.area.area == pytest.approx(strip(22.0), rel=2e-3)
    assert "the wing passes through it at STA 58 to 100" in cut_words(cuts[1])
    # The bar is wider than the rod: nothing holds its upper and lower part together.
    assert cuts[1].pieces == 2
    assert "falls into 2 pieces" in cut_words(cuts[1])
    (told,) = passing_finding(cuts)
    assert told.measured == 2.0
    assert "slab 2" in told.where
    rows = items(FoamStations(), cuts, 1.0, 1, "")
    whole = items(FoamStations(), slab_cuts([], rods()), 1.0, 1, "")
    lost = sum(a.volume - b.volume for a, b in zip(whole[:4], rows[:4], strict=True))
    assert lost == pytest.approx(cut_volume(cuts))
    assert "cut out" in rows[1].note
    assert "cut out" not in rows[0].note


def test_a_stub_that_ends_inside_leaves_one_piece():
    model = through(half_span=40.0)
    cuts = slab_cuts(passing_parts(asked(("pod", "wing")), model), rods())
    assert cuts[1].pieces == 1
    (path,) = cuts[1].at[2].paths(True)
    assert path.layer == CUT
    # Right half of a rectangle with its gap, round at its corners.
    assert path.area() == pytest.approx(42.0 * 44.0 - 2 * (4 - np.pi) / 4 * GAP**2, rel=1e-2)
    assert path.name == "cut-out for the wing"


def test_nothing_passes_nothing_is_said():
    cuts = slab_cuts([], rods())
    assert passing_finding(cuts) == []
    assert {cut_words(cut) for cut in cuts} == {""}
    assert cut_volume(cuts) == 0.0


def test_a_template_that_stays_is_cut_out_too():
    section_there = section(ring(100.0))
    taken = cut_out(passing_parts(asked(("pod", "wing")), through()), section_there[0], 103.0)
    outline = outline_path(section_there[0], True)
    joint = JointTemplate(2, 100.0, 106.0, section_there, outline, taken)
    disc = Polygon(ring(100.0)).area
    assert joint.volume == pytest.approx((disc - strip(22.0)) * 6.0, rel=2e-3)
    (sheet,) = template_sheets([joint], [()], FoamStations(), 500.0, "")
    assert any(path.name == "cut-out for the wing" for path in sheet.drawing.paths)
    assert any(label.text == "CUT OUT: wing" for label in sheet.drawing.labels)
