"""Where a moulded wing tip ends early, against closed forms of a four-digit section on a taper."""

import numpy as np
import pytest
import shapely
import trimesh
from few_cases import few
from scipy.optimize import brentq
from shops.moulds.plain_moulds import with_mould

from geomgen.drafting.clashes import clashes
from geomgen.drafting.formats.pdf.pages import write_sheet
from geomgen.drafting.formats.pdf.pages_proof import prove_sheet
from geomgen.drafting.paper.title import Title
from geomgen.errors import GeometryError
from geomgen.kernel.lofting.panels import ruled_halves, ruled_solid
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.model import Model
from geomgen.kernel.solids.properties import bounding_box, volume
from geomgen.kernel.solids.validity import require_valid
from geomgen.shapes.aerofoil import HALF, angles
from geomgen.shapes.lifting import wing_sections
from geomgen.shops.draft.report import draft_findings
from geomgen.shops.moulds.bodies import body_grown, skin_deducted, tip_ended, tip_rows
from geomgen.shops.moulds.findings import end_findings
from geomgen.shops.moulds.package import mould_package
from geomgen.shops.moulds.split import halves
from geomgen.shops.moulds.tip import between, grown_section
from geomgen.workflows.handing_off.beforehand import refuse_beforehand

START, TIP = 3900.0, 4500.0
# Foam as thin as this does not stand [mm].
THIN = 0.1
STRAIGHT = [(0.0, 1200.0, "NACA 0012"), (3000.0, 900.0, "NACA 0012"), (TIP, 450.0, "NACA 0012")]
SWEPT = [
    (0.0, 1200.0, "NACA 2415", 0.0, 0.0, 0.0),
    (4100.0, 900.0, "NACA 2412", 1.0, 5.0, 5.0),
    (4300.0, 800.0, "NACA 23012", 2.0, 10.0, 8.0),
    (TIP, 650.0, "NACA 0012", 3.0, 12.0, 8.0),
]


def tapered(p, rows, edge, skin, **fields):
    """Return an aircraft with wing sections (BL, chord, aerofoil, washout, sweep, dihedral)."""
    names = ("buttock_line", "chord", "aerofoil", "washout", "sweep", "dihedral")
    made = tuple(
        p.wing.sections[0].model_copy(
            update=dict(zip(names, (*row, 0.0, 0.0, 0.0)[:6], strict=True))
        )
        for row in rows
    )
    wing = p.wing.model_copy(
        update={"sections": made, "incidence": 0.0, "trailing_edge_thickness": edge}
    )
    plain = {
        "part": "wing_tip",
        "split": "maximum breadth",
        "from_buttock_line": START,
        "treatment": "core_minus_skin",
    }
    return with_mould(p.model_copy(update={"wing": wing}), skin=skin, **plain | fields)


def loft(p):
    return ruled_solid([s.points() for s in wing_sections(p, p.wing)], angles(), "wing")


def half(s, thickness, chord, edge):
    """Return half the thickness [mm] at a share of the chord, NACA Report 460, edge wedged in."""
    t = 5 * thickness * chord
    tail = t * (0.2969 - 0.1260 - 0.3516 + 0.2843 - 0.1015)
    y = 0.2969 * np.sqrt(s) - 0.1260 * s - 0.3516 * s**2 + 0.2843 * s**3 - 0.1015 * s**4
    return t * y + (edge / 2 - tail) * s


def inside(s, thickness, chord, edge, skin):
    """Return x, y [mm] a skin square inside the upper side at a share of the chord."""
    step = 1e-5
    rise = half(s + step, thickness, chord, edge) - half(s - step, thickness, chord, edge)
    slope = rise / (2 * step * chord)
    size = np.hypot(1.0, slope)
    return s * chord + skin * slope / size, half(s, thickness, chord, edge) - skin / size


def ahead(thickness, chord, edge, skin):
    """Return how far ahead of the edge [mm] what two skins leave is as thick as THIN."""
    at = brentq(lambda s: inside(s, thickness, chord, edge, skin)[1] - THIN / 2, 0.3, 1.2)
    return chord - inside(at, thickness, chord, edge, skin)[0]


def edge_that_fits(thickness, chord, skin):
    """Return the trailing edge [mm] inside of which two skins leave THIN, a skin ahead of it."""

    def left(edge):
        at = brentq(lambda s: inside(s, thickness, chord, edge, skin)[0] - (chord - skin), 0.9, 1.1)
        return inside(at, thickness, chord, edge, skin)[1] - THIN / 2

    return brentq(left, 0.0, 4 * skin)


def chord_at(y):
    return float(np.interp(y, [3000.0, TIP], [900.0, 450.0]))


@pytest.mark.parametrize(("edge", "skin"), [(0.5, 0.65), (0.3, 1.0), (2.0, 4.0)])
def test_it_ends_where_the_skins_leave_the_least_foam(saltmarsh, edge, skin):
    p, mould = tapered(saltmarsh, STRAIGHT, edge, skin)
    tip = tip_ended(p, mould, -skin)
    (run,) = tip.runs
    assert (run[0].buttock_line, run[-1].buttock_line) == (START, TIP - skin)
    for end in run:
        wanted = ahead(0.12, chord_at(end.buttock_line), edge, skin)
        assert end.ahead == pytest.approx(wanted, abs=0.03)
    for row in tip.rows:
        assert row[0, 2] - row[-1, 2] == pytest.approx(THIN, abs=0.002)
        assert row[0, 0] == pytest.approx(row[-1, 0], abs=1e-6)
        at = chord_at(row[0, 1])
        assert row[0, 0] - row[HALF, 0] == pytest.approx(
            at - ahead(0.12, at, edge, skin) - skin, abs=0.03
        )


def test_stock_is_left_on_beyond_the_end_too(saltmarsh):
    p, mould = tapered(saltmarsh, STRAIGHT, 0.5, 1.0, stock=3.0)
    bare, rough = tip_rows(p, mould, -1.0), tip_rows(p, mould, 2.0)
    for a, b in zip(bare, rough, strict=True):
        if a[0, 1] == b[0, 1]:
            assert b[[0, -1], 0] - a[[0, -1], 0] == pytest.approx([3.0, 3.0], abs=1e-3)
    assert rough[-1][0, 1] - bare[-1][0, 1] == pytest.approx(3.0)


@pytest.mark.parametrize("chord", [900.0, 450.0])
def test_a_tip_that_fits_exactly_is_whole_and_a_little_less_ends_early(saltmarsh, chord):
    skin = 0.8
    rows = [(0.0, chord, "NACA 0012"), (TIP, chord, "NACA 0012")]
    fits = edge_that_fits(0.12, chord, skin)
    p, mould = tapered(saltmarsh, rows, fits + 0.01, skin)
    tip = tip_ended(p, mould, -skin)
    assert not tip.early
    outline = grown_section(wing_sections(p, p.wing)[-1].points(), -skin)
    assert np.array_equal(tip.rows[-1][:, [0, 2]], outline[:, [0, 2]])
    p, mould = tapered(saltmarsh, rows, fits - 0.01, skin)
    assert tip_ended(p, mould, -skin).runs[0][0].ahead == pytest.approx(skin, abs=0.2)


def test_it_begins_to_end_early_where_the_edge_gets_too_thin(saltmarsh):
    # What is left at the edge falls in proportion to the span between two sections (closed form).
    skin, chord, start = 0.8, 900.0, 1000.0
    sharp, blunt = (edge_that_fits(t, chord, skin) for t in (0.06, 0.12))
    edge = 0.5 * (sharp + blunt)
    share = (edge - blunt) / (sharp - blunt)
    for root, tip, early in (
        ("NACA 0012", "NACA 0006", (share * TIP, TIP - skin)),
        ("NACA 0006", "NACA 0012", (start, (1 - share) * TIP)),
    ):
        rows = [(0.0, chord, root), (TIP, chord, tip)]
        p, mould = tapered(saltmarsh, rows, edge, skin, from_buttock_line=start)
        (run,) = tip_ended(p, mould, -skin).runs
        at = run[0].buttock_line, run[-1].buttock_line
        assert at == pytest.approx(early, abs=40.0)
        beginning = run[0] if root == "NACA 0012" else run[-1]
        assert beginning.ahead == pytest.approx(skin, abs=0.2)


def test_where_it_had_room_nothing_changes(saltmarsh):
    mould = next(one for one in saltmarsh.handoff.moulds if one.part == "wing_tip")
    skin, sections = skin_deducted(saltmarsh, mould), wing_sections(saltmarsh, saltmarsh.wing)
    at = np.array([section.nose[1] for section in sections])
    for gap in (-skin, 0.0, 2.0):
        rows = np.stack([grown_section(section.points(), gap) for section in sections])
        wanted = [between(rows, at, y) for y in (mould.from_buttock_line, at[-1] + gap)]
        found = tip_ended(saltmarsh, mould, gap)
        assert np.array_equal(found.rows, wanted)
        assert not found.early


def test_a_plug_is_never_cut_short(saltmarsh):
    p, mould = tapered(saltmarsh, STRAIGHT, 0.2, 2.0, treatment="plug_outside")
    assert not tip_ended(p, mould, 0.0).early
    assert bounding_box(body_grown(p, mould, 0.0)).high[1] == pytest.approx(TIP)


@pytest.mark.long
def test_along_the_span_it_ends_where_its_nose_is_too_sharp_for_the_skin(saltmarsh):
    # Nose radius 1.1019 t^2 c (NACA Report 460); the skin is at most nine tenths of it.
    skin, last = 2.0, 60.0
    rows = [(0.0, 900.0, "NACA 0012"), (3000.0, 900.0, "NACA 0012"), (TIP, last, "NACA 0012")]
    p, mould = tapered(saltmarsh, rows, 0.5, skin)
    tip = tip_ended(p, mould, -skin)
    chord = skin / (0.9 * 1.1019 * 0.12**2)
    wanted = 3000.0 + 1500.0 * (900.0 - chord) / (900.0 - last)
    assert tip.last == pytest.approx(wanted, abs=8.0)
    assert tip.short == pytest.approx(TIP - skin - tip.last)
    assert tip.rows[-1][0, 1] == pytest.approx(tip.last)
    found = {f.id: f for f in mould_package(p, Model(parts={"wing": loft(p)})).findings}
    assert {f.verdict for f in found.values()} == {"pass"}
    assert found["mould.end.wing_tip"].measured == pytest.approx(TIP - tip.last, abs=1e-3)


def test_a_skin_that_leaves_no_core_is_refused_and_what_is_said_would_do(saltmarsh):
    p, _ = tapered(saltmarsh, STRAIGHT, 0.5, 20.0)
    with pytest.raises(GeometryError, match="leaves no core where the tip begins") as error:
        refuse_beforehand(p)
    most = float(error.value.problem.split("a laminate of ")[1].split(" mm")[0])
    refuse_beforehand(tapered(saltmarsh, STRAIGHT, 0.5, most)[0])
    with pytest.raises(GeometryError, match="leaves no core where the tip begins"):
        refuse_beforehand(tapered(saltmarsh, STRAIGHT, 0.5, most + 0.1)[0])


def test_a_thin_edge_is_no_reason_to_refuse_a_file(saltmarsh):
    for rows in (STRAIGHT, SWEPT):
        refuse_beforehand(tapered(saltmarsh, rows, 0.3, 1.0, stock=2.0)[0])


def test_a_chord_that_leaves_the_core_is_refused_beforehand(saltmarsh):
    rows = [(0.0, 900.0, "NACA 4415"), (3000.0, 900.0, "NACA 4412"), (TIP, 230.0, "NACA 4409")]
    p, _ = tapered(saltmarsh, rows, 0.5, 2.0)
    with pytest.raises(GeometryError, match="through the chords, leaves the section"):
        refuse_beforehand(p)


EARLY = [(STRAIGHT, 0.5, 1.0, 0.0), (SWEPT, 0.5, 0.5, 1.0)]


@pytest.fixture(scope="module", params=few(EARLY))
def early(request, saltmarsh):
    rows, edge, skin, stock = request.param
    p, mould = tapered(saltmarsh, rows, edge, skin, stock=stock)
    return p, mould, skin, mould_package(p, Model(parts={"wing": loft(p)}))


def test_all_that_is_measured_passes_on_both_hands(early):
    _, _, skin, package = early
    found = {f.id: f for f in package.findings}
    assert {f.verdict for f in package.findings} == {"pass"}
    assert found["mould.edge.wing_tip"].measured > skin
    assert found["mould.skin.wing_tip"].measured < 0.1
    hands = [s.hand for s in package.solids if "core" in s.name]
    assert sorted(hands) == ["left", "left", "right", "right"]


def test_every_solid_is_valid_and_its_mesh_closed(early):
    for solid in early[3].solids:
        require_valid(solid.solid, solid.part, solid.name)
        made = mesh(solid.solid, 0.1)
        assert trimesh.Trimesh(made.vertices, made.triangles, process=False).is_watertight


def test_the_halves_lie_the_skin_inside_the_section(saltmarsh):
    edge, skin = 0.5, 1.0
    p, mould = tapered(saltmarsh, STRAIGHT, edge, skin)
    nose = wing_sections(p, p.wing)
    at = [section.nose[1] for section in nose]
    share = 0.5 * (1 - np.cos(np.linspace(0.0, np.pi, 801)))
    for one in halves(p, mould, -skin):
        for x, y, z in mesh(one.solid, 0.05).vertices:
            chord = chord_at(y)
            line = np.stack([share * chord, half(share, 0.12, chord, edge)], axis=-1)
            ring = shapely.Polygon(np.concatenate([line, (line * [1, -1])[::-1]]))
            x0, z0 = (np.interp(y, at, [s.nose[i] for s in nose]) for i in (0, 2))
            point = shapely.Point(x - x0, z - z0)
            assert ring.contains(point)
            assert ring.exterior.distance(point) > skin - 0.03


def test_the_halves_are_the_body_and_meet_on_the_chords(saltmarsh):
    p, mould = tapered(saltmarsh, SWEPT, 0.5, 0.5)
    upper, lower = ruled_halves(tip_rows(p, mould, -0.5), angles(), "wing_tip")
    whole = volume(body_grown(p, mould, -0.5)).value
    assert volume(upper).value + volume(lower).value == pytest.approx(whole, rel=1e-6)


def test_the_laminate_reaches_the_trailing_edge_all_the_same(early):
    p, mould, _, package = early
    whole = mesh(body_grown(p, mould.model_copy(update={"treatment": "plug_outside"}), 0.0), 0.05)
    made = trimesh.Trimesh(whole.vertices, whole.triangles, process=False)
    skin = made.triangles_center[:, 1] > START + 1e-6  # all but the flat end inboard
    laid = [i.laminate_area for i in package.items if i.name.endswith(("upper_skin", "lower_skin"))]
    assert sum(laid) == pytest.approx(2 * made.area_faces[skin].sum(), rel=1e-3)


@pytest.mark.parametrize(
    "early", [EARLY[0], pytest.param(EARLY[1], marks=pytest.mark.long)], indirect=True
)
def test_the_place_is_told_on_solids_list_and_sheet(early, tmp_path):
    p, mould, skin, package = early
    words = "ends early, ahead of the trailing edge"
    end = tip_ended(p, mould, -skin).runs[-1][-1]
    at = f"{end.ahead:.1f} mm at BL {end.buttock_line:.1f} (STA {end.station:.1f})"
    cores = [s for s in package.solids if "core" in s.name]
    listed = [i for i in package.items if i.name in {s.name for s in cores}]
    assert len(cores) == len(listed) == 4
    for note in (*(s.note for s in cores), *(i.note for i in listed)):
        assert words in note
        assert at in note
    _, sheets = draft_findings(p, Model())
    for sheet in sheets:
        assert any(words in note and at in note for note in sheet.drawing.notes)
        assert clashes(sheet.drawing) == ()
        title = Title("Project", sheet.name, "A", sheet.hand, reason="w" * 120)
        written = write_sheet(tmp_path / "x.pdf", sheet.paper, title)
        prove_sheet(written, sheet.paper, title)


def test_an_end_that_leaves_no_room_for_the_skin_is_caught(saltmarsh):
    p, mould = tapered(saltmarsh, STRAIGHT, 0.5, 1.0)
    tip, solids = tip_ended(p, mould, -1.0), [one.solid for one in halves(p, mould, -1.0)]
    (good,) = end_findings(tip, solids, loft(p), 1.0)
    assert good.measured == pytest.approx(min(e.ahead for e in tip.runs[0]), abs=0.05)
    (bad,) = end_findings(tip, solids, loft(p), good.measured + 0.2)
    assert (good.verdict, bad.verdict) == ("pass", "fail")
