"""The one answer for a set: cut, do not cut, or released with its reason."""

import json
from dataclasses import replace
from math import nan

import pytest

from geomgen.documents.record import Banner, Notice, Table, Words
from geomgen.drafting.paper.title import RELEASED
from geomgen.pages.gate_sheet import CUT, DO_NOT, blocks, content, failures, verdict_of, warnings
from geomgen.shops.product import found
from geomgen.verdicts.check import Check, Limits

GOOD = Check(
    "prop.radial_clearance", "prop_disc", "gap", 30.0, "mm", Limits("at least 25 mm", 25.0),
    "at least", 5.0, "pass", points=((1.0, 2.0, 3.0), (1.0, 2.0, 33.0)),
)  # fmt: skip
BAD = replace(GOOD, id="inlet.area", verdict="fail")
LOST = replace(GOOD, id="exit.area", verdict="not_measured")
FREE = replace(BAD, binding=False)
OFF = found("core.match.1", "wing", "core to solid", 0.4, "mm", high=0.2)
FINE = found("core.match.1", "wing", "core to solid", 0.1, "mm", high=0.2)


@pytest.mark.parametrize(
    ("checks", "findings", "reason", "answer"),
    [
        ([GOOD], [FINE], "", CUT),
        ([GOOD, FREE], [], "", CUT),
        ([GOOD, BAD], [], "", DO_NOT),
        ([GOOD, LOST], [], "", DO_NOT),
        ([GOOD], [OFF], "", DO_NOT),
        ([GOOD, BAD], [], "only a trial", RELEASED),
        ([], [], "", DO_NOT),
        ([GOOD], [], "no need for it", CUT),
    ],
)
def test_answer(checks, findings, reason, answer):
    assert verdict_of(checks, findings, reason) == answer


def test_failures_are_named():
    assert failures([GOOD, BAD, LOST], [OFF, FINE]) == ["inlet.area", "exit.area", "core.match.1"]


def test_content_holds_values_places_and_hashes():
    head = {"name": "demo", "title": "Demo", "revision": "B", "parameters_sha256": "ab"}
    made = content(head, [GOOD], [FINE], [], {"b": "2", "a": "1"}, "")
    assert json.loads(json.dumps(made)) == made
    assert made["verdict"] == CUT
    assert made["checks"][0]["points"] == [[1.0, 2.0, 3.0], [1.0, 2.0, 33.0]]
    assert list(made["files"]) == ["a", "b"]
    assert any("airworthiness" in text for text in made["cautions"])


HEAD = {"name": "demo", "title": "Demo", "revision": "B", "parameters_sha256": "ab"}


def page_of(checks, findings):
    return blocks(content(HEAD, checks, findings, [], {}, ""), checks, findings)


def cells(page):
    return [row.cells for block in page if isinstance(block, Table) for row in block.rows]


def test_a_figure_without_a_limit_is_not_said_to_have_passed():
    free = replace(GOOD, id="prop.tip_radius", target=Limits("no limit set"), comparison="none",
                   margin=None)  # fmt: skip
    count = found("foam.count", "pod", "slabs in the stack", 60.0, "1", severity="info")
    rows = {row[0]: row for row in cells(page_of([GOOD, free], [FINE, count]))}
    outcome = {name: row[4 if name in (GOOD.id, free.id) else 3] for name, row in rows.items()}
    assert outcome == {
        GOOD.id: "PASS",
        "prop.tip_radius": "for information",
        FINE.id: "PASS",
        "foam.count": "for information",
    }


WARNED = found("mould.draft.pod_left", "pod", "draft", 1.0, "deg", low=3.0, severity="warn")


@pytest.mark.parametrize(
    ("checks", "findings", "banner"),
    [
        ([GOOD], [FINE], "CUT - no warnings"),
        ([GOOD], [WARNED], "CUT - 1 warning"),
        ([replace(GOOD, verdict="warn")], [WARNED, WARNED], "CUT - 3 warnings"),
        ([BAD], [WARNED], "DO NOT CUT - 1 warning"),
    ],
)
def test_the_first_line_is_the_answer_with_its_warnings_counted(checks, findings, banner):
    made = content(HEAD, checks, findings, [], {}, "")
    first = page_of(checks, findings)[0]
    assert isinstance(first, Banner)
    assert first.text == banner
    assert made["verdict"] in banner


def test_warnings_are_named_on_page_one_by_their_kind():
    findings = [WARNED, replace(WARNED, id="mould.draft.pod_right")]
    made = content(HEAD, [GOOD], findings, [], {}, "")
    assert made["warnings"] == ["mould.draft.pod_left", "mould.draft.pod_right"]
    texts = [block.text for block in blocks(made, [GOOD], findings) if isinstance(block, Words)]
    assert any("mould.draft (2)" in text for text in texts)


def test_the_pages_carry_one_hash_and_the_values_all():
    made = content(HEAD, [GOOD], [], [], {"pod_mm.stl": "a1b2", "pod.pdf": "c3d4"}, "")
    assert made["files"] == {"pod.pdf": "c3d4", "pod_mm.stl": "a1b2"}
    page = blocks(made, [GOOD], [])
    assert not {"a1b2", "c3d4", "pod_mm.stl"} & {cell for row in cells(page) for cell in row}
    texts = [block.text for block in page if isinstance(block, Words)]
    assert sum(made["set_sha256"] in text for text in texts) == 1


def test_a_notice_stands_beside_the_parts_and_in_the_values():
    head = {"name": "demo", "title": "Demo", "revision": "B", "parameters_sha256": "ab"}
    notice = "wing: the joint with the pod makes 2 parts of it"
    made = content(head, [GOOD], [], [], {}, "", (notice,))
    assert made["notices"] == [notice]
    assert Notice(notice) in blocks(made, [GOOD], [])


def test_what_to_do_stands_only_beside_what_is_not_well():
    """'Do not cut' beside a PASS frightens on a good set."""
    rows = [replace(row, note="do not cut: it does not fit") for row in (FINE, OFF)]
    told = [row[-1] for row in cells(page_of([GOOD], rows)) if row[0] == "core.match.1"]
    assert ["do not cut" in words for words in told] == [False, True]


def test_a_shops_figure_that_is_none_is_to_be_read_before_cutting():
    lost = found("foam.skin", "pod", "skin", nan, "mm", high=1.0, severity="warn")
    assert warnings([GOOD], [FINE, lost]) == ["foam.skin"]
    assert failures([GOOD], [FINE, lost]) == []


ROW = {
    "part": "boom_left",
    "solids": ["boom_left"],
    "mass_kg": 1.3498,
    "band_kg": 0.135,
    "centre_mm": [3000.2, -780.0, 1279.6],
    "how": "wall 1.2 mm",
}


def test_what_is_to_be_weighed_stands_with_room_for_what_the_scales_say():
    values = content(HEAD, [GOOD], [], [], {}, "", weights=[ROW])
    assert json.loads(json.dumps(values))["to_weigh"] == [ROW]
    (line,) = [row for row in cells(blocks(values, [GOOD], [])) if row[0] == "boom_left"]
    assert line[1:6] == ("1.350", "0.135", "3000", "-780", "1280")
    assert {len(cell.strip("_")) for cell in line[6:]} == {0}
    assert all(len(cell) > 10 for cell in line[6:])


def test_a_set_that_weighs_nothing_has_no_table_for_the_scales():
    page = page_of([GOOD], [])
    assert "Masses for the scales" not in [getattr(block, "text", "") for block in page]
