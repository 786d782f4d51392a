"""Findings on the example's pod and its scoops, from what is built."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from shops.moulds.plain_moulds import cylinder_pod

from geomgen.drafting.clashes import clashes
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.surface_points import surface_points
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Vec3
from geomgen.kernel.solids.properties import area
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.hull import pod_lines
from geomgen.shapes.scoop import scoop
from geomgen.shops.draft import report
from geomgen.shops.draft.cells import DraftBody
from geomgen.shops.draft.hatching import hatched
from geomgen.shops.draft.report import DraftHalf, StandingScoop, draft_findings
from geomgen.shops.draft.standing import Standing
from geomgen.shops.draft.undercut import Draft, Side, draft_of
from geomgen.shops.moulds.bodies import mould_body
from geomgen.shops.product import ShopSheet
from geomgen.verdicts.check import Check

Made = tuple[dict[str, Check], tuple[ShopSheet, ...]]


def only(p: Parameters, *parts: str) -> Parameters:
    assert p.handoff is not None
    moulds = tuple(mould for mould in p.handoff.moulds if mould.part in parts)
    return p.model_copy(update={"handoff": p.handoff.model_copy(update={"moulds": moulds})})


def made(p: Parameters, model: Model) -> Made:
    findings, sheets = draft_findings(p, model)
    return {f.id: f for f in findings}, sheets


@pytest.fixture
def undrawn(monkeypatch: pytest.MonkeyPatch) -> None:
    """Draw no sheets, which take as long as the figures, where a test looks at none."""
    monkeypatch.setattr(report, "draft_sheet", lambda *_: None)
    monkeypatch.setattr(report, "_sheet", lambda *_: None)


@pytest.fixture(scope="module")
def pod(saltmarsh: Parameters) -> Made:
    pieces = scoop(saltmarsh, pod_lines(saltmarsh), 0)
    return made(only(saltmarsh, "pod"), Model(parts={x.name: x.solid for x in pieces}))


@pytest.fixture(scope="module")
def cheek(saltmarsh: Parameters) -> Made:
    return made(only(saltmarsh, "scoop_cheek"), Model())


def test_the_scoops_mouth_is_found_on_both_halves(pod: Made) -> None:
    findings, _ = pod
    for half in ("right", "left"):
        mouth = findings[f"draft.undercut.pod.{half}.scoop_cheek"]
        assert mouth.verdict == "warn"
        assert mouth.note == (
            'the scoop needs its own mould: [[handoff.moulds]] with part = "scoop_cheek"'
        )
        assert "about STA 18" in mouth.where
        # The mouth is 170 wide; at least its roof over the passage of 180 mm is held.
        assert mouth.measured is not None
        assert mouth.measured > 170 * 180


def test_two_scoops_of_one_name_on_one_half_are_told_apart(
    saltmarsh: Parameters, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the pod parts at its breadth both cheeks stand on the upper half."""
    held = StandingScoop("cheek_right", "cheek", 0.3, None)
    other = replace(held, called="cheek_left")
    crown = replace(held, called="crown", name="crown")
    areas = {"cheek_right": 90.0, "cheek_left": 80.0, "crown": 70.0}

    def measured(body: DraftBody, scoop: str, *_: object) -> Standing:
        return Standing(areas[scoop], 0.0, None, None, np.zeros(0))

    monkeypatch.setattr(report, "standing", measured)
    scoops = [replace(s, body=s.called) for s in (held, other, crown)]
    half = DraftHalf("upper", (0.0, 0.0, 1.0), None)
    told = [s.called for s, _ in report._held(scoops, None, half)]
    assert told == ["cheek_right", "cheek_left", "crown"]
    areas["cheek_left"] = 0.0
    told = [s.called for s, _ in report._held(scoops, None, half)]
    assert told == ["cheek", "crown"]


@pytest.mark.usefixtures("undrawn")
def test_a_split_that_leaves_far_less_below_the_draft_is_advised(
    saltmarsh: Parameters, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A scoop on the crown has a flat roof: pulled sideways it has no draft, upwards it has."""
    crown = saltmarsh.scoops[0].model_copy(update={"clock_angle": 90.0, "mirrored": False})
    p = only(saltmarsh.model_copy(update={"scoops": (crown,)}), "scoop_cheek")
    (mould,) = p.handoff.moulds
    flat = mould.model_copy(update={"split": "centre plane"})
    asked = p.model_copy(update={"handoff": p.handoff.model_copy(update={"moulds": (flat,)})})
    pulls: list[Vec3] = []

    def counted(body: DraftBody, pull: Vec3, wanted: float, side: Side | None = None) -> Draft:
        pulls.append(pull)
        return draft_of(body, pull, wanted, side)

    monkeypatch.setattr(report, "draft_of", counted)
    before, _ = made(asked, Model())
    # Each half of either split once.
    assert len(pulls) == len(set(pulls)) == 4
    first = before["draft.below.scoop_cheek.right"]
    assert 'write split = "maximum breadth" in handoff.moulds.0' in first.note
    # What scoops that stand on a body bring is not asked of the other split.
    assert "nothing of the body itself is undercut" in first.note
    told = float(first.note.split("at most ")[1].split(" %")[0])
    # Asked for itself, that split is measured as was told; its sheets are made in the long run.
    after = [each for _, each in report._drafts(p, mould, report.moulded(p, mould))]
    shares = [100 * each.below / each.total for each in after]
    assert max(shares) == pytest.approx(told, abs=0.06)
    assert max(shares) < 0.1 * first.measured


@pytest.mark.long
def test_where_the_better_split_is_written_no_other_is_advised(saltmarsh: Parameters) -> None:
    crown = saltmarsh.scoops[0].model_copy(update={"clock_angle": 90.0, "mirrored": False})
    after, _ = made(only(saltmarsh.model_copy(update={"scoops": (crown,)}), "scoop_cheek"), Model())
    assert all("split =" not in f.note for f in after.values())


def test_a_pod_without_scoops_has_no_such_finding(saltmarsh: Parameters, pod: Made) -> None:
    """The file has scoops, the model none; halves of a cylinder give what the example's give."""
    plain = cylinder_pod(saltmarsh).model_copy(update={"scoops": saltmarsh.scoops})
    findings, sheets = made(only(plain, "pod"), Model())
    assert not [name for name in findings if "scoop" in name]
    assert set(findings) == {name for name in pod[0] if "scoop" not in name}
    assert len(sheets) == 2
    assert findings["draft.undercut.pod.right"].verdict == "pass"


def test_the_pods_halves(saltmarsh: Parameters, pod: Made) -> None:
    """Mirror images; together the body's skin, its flat end left out (areas of the kernel)."""
    findings, _ = pod
    right, left = (findings[f"draft.below.pod.{half}"] for half in ("right", "left"))
    assert right.measured == pytest.approx(left.measured, rel=1e-3)
    assert right.verdict == "warn"
    assert saltmarsh.handoff is not None
    solid = mould_body(saltmarsh, saltmarsh.handoff.moulds[0])
    skin = [face for face in faces_of(solid) if surface_points(face).kind != "plane"]
    total = float(right.method.split(" of ")[-1].removesuffix(" mm^2"))
    assert 2 * total == pytest.approx(sum(area(face, 1e-5).value for face in skin), rel=0.01)


def test_a_scoops_seat_and_mouth_do_not_count(cheek: Made) -> None:
    """What is left of the scoop's own body releases up and down."""
    findings, sheets = cheek
    assert [findings[f"draft.undercut.scoop_cheek.{h}"].verdict for h in ("upper", "lower")] == [
        "pass",
        "pass",
    ]
    assert {sheet.part for sheet in sheets} == {"scoop_cheek"}


def test_a_scoop_is_drawn_whole_where_it_runs_out_onto_the_skin(cheek: Made) -> None:
    """Every view ends in one smooth line: closing it by 2 mm fills no tooth of a triangle."""
    _, sheets = cheek
    for sheet in sheets:
        outlines = [p for p in sheet.drawing.paths if p.name == "outline"]
        assert len(outlines) == 3
        for outline in outlines:
            shape = shapely.Polygon(outline.points)
            filled = shape.buffer(2.0, quad_segs=64).buffer(-2.0, quad_segs=64)
            assert filled.difference(shape.buffer(0.2)).area < 0.1


@pytest.mark.usefixtures("undrawn")
def test_the_tips_end_is_below_the_draft(saltmarsh: Parameters) -> None:
    """The flat end outboard is skin and stands upright: it is below, and it is told where."""
    findings, _ = made(only(saltmarsh, "wing_tip"), Model())
    below = [findings[f"draft.below.wing_tip.{half}"] for half in ("upper", "lower")]
    held = max(below, key=lambda f: f.measured or 0.0)
    assert held.verdict == "warn"
    assert "BL 4499" in held.where or "BL 4500" in held.where


def test_no_text_runs_into_a_line_or_another(pod: Made) -> None:
    for sheet in pod[1]:
        assert clashes(sheet.drawing) == ()


def test_hatch_covers_its_area() -> None:
    """Lines a pitch apart: length times pitch is the area (closed form); a hole stays free."""

    def square(x: float, y: float, side: float) -> np.ndarray:
        a, b, c, d = (x, y), (x + side, y), (x + side, y + side), (x, y + side)
        return np.array([[a, b, c], [a, c, d]])

    blocks = np.concatenate(
        [square(10.0 * i, 10.0 * j, 10.0) for i in range(3) for j in range(3) if (i, j) != (1, 1)]
    )
    for ways in ((1,), (1, -1)):
        lines = hatched(blocks, 0.5, ways, "below")
        length = sum(path.length() for path in lines)
        assert length * 0.5 == pytest.approx(800.0 * len(ways), rel=0.02)
        assert len(lines) > 50 * len(ways)
    middles = [np.mean(path.points, axis=0) for path in lines]
    assert not any(10.5 < x < 19.5 and 10.5 < y < 19.5 for x, y in middles)
