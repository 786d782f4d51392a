"""Frame and title block: fields of ISO 7200, marks of ISO 5457; nothing meets, nothing lost."""

from dataclasses import replace

import pytest
from drawn_groups import as_drawing

from geomgen.drafting.clashes import clashes
from geomgen.drafting.lettering import text_box
from geomgen.drafting.paper.frame import frame
from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.paper.title import RELEASED, Title
from geomgen.drafting.record import VISIBLE, Drawing, rectangle
from geomgen.errors import FileWriteError

# ISO 216, A series, long side across [mm]. PUBLISHED.
ISO_216 = {"A4": (297, 210), "A3": (420, 297), "A2": (594, 420), "A1": (841, 594),
           "A0": (1189, 841)}  # fmt: skip
DRAWING = Drawing(
    "side", (rectangle((0, 0), (900, 400), VISIBLE),), notes=("Mirror the left one.",)
)
TITLE = Title(
    "Demo, a single-seat twin-boom pusher", "general arrangement", "C", "left",
    fingerprint="a1b2c3d4e5f6", note="Hidden edges are dashed.",
)  # fmt: skip
REASON = "a trial of the sheet only, the mouth of the left scoop is still too small"


def made(size="A3", title=TITLE, projection="first angle"):
    return as_drawing(frame(Sheet(DRAWING, size, 10, projection), title))


@pytest.mark.parametrize("size", ISO_216)
@pytest.mark.parametrize("reason", ["", REASON])
@pytest.mark.parametrize("projection", ["", "first angle", "third angle"])
def test_nothing_meets_and_all_is_on_the_paper(size, reason, projection):
    whole = made(size, replace(TITLE, reason=reason), projection)
    assert clashes(whole) == ()
    wide, high = ISO_216[size]
    (x0, y0), (x1, y1) = whole.box()
    assert x0 >= 0
    assert y0 >= 0
    assert x1 <= wide + 1e-9
    assert y1 <= high + 1e-9
    for label in whole.labels:
        box = text_box(label)
        assert box[0] > 10 < box[1]
        assert box[2] < wide - 10
        assert box[3] < 50


def test_fields_of_the_title_block():
    words = [label.text for label in made().labels]
    for due in (TITLE.project, TITLE.part, "C", "LEFT", "1:10", "A3, 420 x 297", "mm",
                "first angle", "a1b2c3d4e5f6", *DRAWING.notes, *TITLE.cautions):  # fmt: skip
        assert due in words
    # ISO 7200: title block no wider than 180 mm, in the lower right corner. PUBLISHED.
    left = min(x for path in made().paths if path.name == "rule" and path.points[0][0] ==
               path.points[1][0] for x, _ in path.points)  # fmt: skip
    assert 420 - 10 - left == 180


def test_release_is_large_and_first():
    labels = made(title=replace(TITLE, reason="only a trial")).labels
    notes = sorted((t for t in labels if t.at[0] < 200), key=lambda t: -t.at[1])
    assert notes[0].text == RELEASED
    assert notes[1].text == "only a trial"
    assert min(t.height for t in notes[:2]) > 1.5 * max(t.height for t in notes[2:])


def test_centring_marks_stand_in_the_middle_of_each_side():
    marks = [path.points for path in made().paths if path.name == "mark"]
    # ISO 5457: at the ends of the two axes of the sheet. PUBLISHED.
    assert {points[0] for points in marks} == {(210, 0), (210, 297), (0, 148.5), (420, 148.5)}


@pytest.mark.parametrize("field", ["project", "part"])
def test_long_names_are_broken_and_stay_inside(field):
    long = replace(TITLE, **{field: "a very long name of a part or a project that goes on and on"})
    whole = made(title=long)
    assert clashes(whole) == ()
    assert "and on" in " ".join(label.text for label in whole.labels)


def test_too_much_is_refused():
    for title in (replace(TITLE, reason="too much " * 400), replace(TITLE, part="too long " * 40)):
        with pytest.raises(FileWriteError, match="can't hold"):
            made(title=title)


@pytest.mark.parametrize("hand", ["", "left"])
def test_what_has_no_hand_has_no_field_for_it(hand):
    words = [label.text for label in made(title=replace(TITLE, hand=hand)).labels]
    assert ("hand" in words) is bool(hand)
    assert "-" not in words
    assert "a1b2c3d4e5f6" in words


@pytest.mark.parametrize("paper", [(210, 297), (297, 210), (297, 420), (594, 420), (1067, 290)])
@pytest.mark.parametrize("reason", ["", REASON])
def test_square_title_block_and_notes_of_a_sheet_at_full_size(paper, reason):
    notes = tuple(
        f"{i}: what the bench has to know of it before it cuts, in a line" for i in range(9)
    )
    sheet = Sheet(replace(DRAWING, notes=notes), "roll", 1, cut=paper)
    whole = as_drawing(frame(sheet, replace(TITLE, reason=reason)))
    assert clashes(whole) == ()
    square = next(path for path in whole.paths if path.name == "check square")
    sides = [max(c) - min(c) for c in zip(*square.points, strict=True)]
    assert sides == pytest.approx([100.0, 100.0])
    boxes = [text_box(label) for label in whole.labels]
    assert all(box[0] > 10 < box[1] and box[2] < paper[0] - 10 for box in boxes)
    assert max(box[3] for box in boxes) < 10 + sheet.strip
    words = " ".join(label.text for label in whole.labels)
    for due in ("LEFT", "1:1", "100 mm", "print at 100 %", "8: what", "not an airworthiness"):
        assert due in words
