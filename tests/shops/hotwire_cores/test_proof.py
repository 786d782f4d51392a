from dataclasses import replace

import numpy as np
import pytest
from few_cases import few
from shops.hotwire_cores.core_wing import KERF, SKIN, SPAN, cut, mirrored, skins, template

from geomgen.parameters.values.quantities import Threshold
from geomgen.shops.hotwire_cores import proof
from geomgen.shops.hotwire_cores.distance import depth_in
from geomgen.shops.hotwire_cores.proof import (
    TemplateStand,
    core_findings,
    hand_finding,
)
from geomgen.shops.hotwire_cores.templates import template_drawing


def judged(made) -> dict[str, str]:
    return {finding.id.split(".")[1]: finding.verdict for finding in core_findings(made)}


@pytest.mark.parametrize("side", few([1, -1]))
def test_templates_cut_the_wing_less_its_skin(side) -> None:
    edge, match, twist, ticks = core_findings(cut(side))
    assert edge.measured < 0.05
    assert edge.verdict == "pass"
    assert match.id == f"core.match.panel1_{('left', '', 'right')[side + 1]}"
    assert match.measured < 0.05
    assert twist.measured < 0.005
    assert ticks.measured < 0.05
    assert {match.verdict, twist.verdict, ticks.verdict} == {"pass"}


def test_at_least_500_points_along_the_whole_panel() -> None:
    made = cut(1)
    stands = tuple(TemplateStand(end.nose, "right") for end in made.ends)
    points = proof._lofted(made.readings, stands, KERF).reshape(-1, 3)
    assert len(points) >= 500
    assert np.ptp(points[:, 1]) > 0.9 * 900
    assert len(np.unique(points[:, 1].round(6))) >= 10
    assert depth_in(skins(1), points) == pytest.approx(SKIN, abs=0.05)


def test_a_mirrored_tip_template_is_caught() -> None:
    made = replace(cut(1), tip=mirrored(cut(1).tip))
    assert judged(made)["match"] == "fail"
    assert hand_finding(made, cut(-1)).verdict == "fail"


def test_the_wrong_sign_of_washout_is_caught() -> None:
    wrong = template_drawing(template(1, 1, sign=-1.0))
    found = judged(replace(cut(1), tip=wrong))
    assert found["twist"] == found["match"] == "fail"


def test_a_tenth_of_a_degree_of_twist_is_caught() -> None:
    slight = template(1, 1)
    wrong = template_drawing(replace(slight, angle=slight.angle + 0.1))
    assert judged(replace(cut(1), tip=wrong))["twist"] == "fail"


def test_a_forgotten_kerf_is_caught() -> None:
    root, tip = (template_drawing(template(1, end, kerf=0.0)) for end in (0, 1))
    edge, match = core_findings(replace(cut(1), root=root, tip=tip))[:2]
    assert edge.verdict == match.verdict == "fail"
    assert edge.measured == pytest.approx(KERF / 2, abs=0.05)
    assert "kerf" in edge.note
    assert "core.edge" in match.note


def test_a_forgotten_skin_is_caught() -> None:
    root, tip = (template_drawing(template(1, end, skin=0.0)) for end in (0, 1))
    edge = core_findings(replace(cut(1), root=root, tip=tip))[0]
    assert edge.verdict == "fail"
    assert edge.measured == pytest.approx(SKIN, abs=0.05)


def hollow(tolerance: float):
    """Return a core whose wing, between two right templates, is 0.3 mm fuller than straight."""
    made = cut(1)
    real = proof.depth_in

    def fuller(panel, points):
        share = np.abs(points[:, 1]) / SPAN
        return real(panel, points) + 0.3 * 4 * share * (1 - share)

    return made, fuller, Threshold(tolerance, "own choice")


@pytest.mark.parametrize(("tolerance", "verdict"), [(0.5, "pass"), (0.2, "fail")])
def test_a_wing_that_a_straight_wire_can_not_follow_is_not_blamed_on_the_templates(
    monkeypatch, tolerance, verdict
) -> None:
    made, fuller, limit = hollow(tolerance)
    monkeypatch.setattr(proof, "depth_in", fuller)
    edge, match = core_findings(replace(made, tolerance=limit))[:2]
    assert edge.verdict == "pass"
    assert match.measured == pytest.approx(0.3, abs=0.05)
    assert (match.verdict, match.target.high) == (verdict, tolerance)
    assert "straight wire" in match.note
    assert "handoff.cores.bow" in match.note
    assert not any(word in match.note for word in ("kerf", "skin", "hand of"))


def test_ticks_that_are_numbered_from_the_tail_are_caught() -> None:
    drawing = cut(1).tip
    labels = tuple(
        replace(t, text=str(25 - int(t.text))) if t.text.isdigit() else t for t in drawing.labels
    )
    assert judged(replace(cut(1), tip=replace(drawing, labels=labels)))["ticks"] == "fail"


def test_a_tick_that_slipped_along_the_edge_is_caught() -> None:
    drawing, guide = cut(1).tip, template(1, 1).guide
    at, inward = (way * np.array([-1.0, 1.0]) for way in guide.tick(True, 10.2 / 25))
    paths = tuple(
        replace(p, points=(tuple(at), tuple(at + 3 * inward)))
        if p.name == "tick 10" and i < 30
        else p
        for i, p in enumerate(drawing.paths)
    )
    assert judged(replace(cut(1), tip=replace(drawing, paths=paths)))["ticks"] == "fail"


def test_a_root_template_whose_print_is_read_from_inside_the_foam_is_caught() -> None:
    right, left = cut(1), cut(-1)
    inside = template_drawing(template(1, 0, face="outboard"))
    found = hand_finding(replace(right, root=inside), left)
    assert found.verdict == "fail"
    assert "right_root" in found.what


def test_templates_of_the_wrong_hand_or_name_are_caught() -> None:
    right, left = cut(1), cut(-1)
    assert hand_finding(right, left).verdict == "pass"
    assert hand_finding(right, left).id == "core.hand.panel1"
    misnamed = template_drawing(template(-1, 0, hand="RIGHT"))
    assert hand_finding(right, replace(left, root=misnamed)).verdict == "fail"
    assert hand_finding(right, replace(left, root=right.root)).verdict == "fail"
