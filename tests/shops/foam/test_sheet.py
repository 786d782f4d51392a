"""The drawing of a slab: outlines, sanding limit, words; nothing runs into anything."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely import Polygon
from shops.foam.rings import ring

from geomgen.drafting.clashes import clashes
from geomgen.drafting.lettering import width_of
from geomgen.drafting.own_lengths import lengths_on_paper
from geomgen.drafting.record import CUT, REF
from geomgen.shops.foam.holes import Pair
from geomgen.shops.foam.sheet import SlabFace, halved, outline_path, slab_drawing

PAIR = Pair((40.0, 470.0), (25.0, 540.0))


def made(big=100.0, small=90.0, half=True, pair=PAIR, reference=500.0):
    a, b = (outline_path(ring(r), half) for r in (big, small))
    limit = replace(b, layer=REF, name="sanding limit")
    faces = [
        SlabFace("front", 1000.0, a, limit, True, (pair,) if pair else (), ("CUT BY THIS ONE",)),
        SlabFace("aft", 1050.0, b, None, False, (), ("SAND DOWN TO THIS ONE",)),
    ]
    return slab_drawing(7, faces, half, 8.0, reference, ("a note",))


def boxes_of(labels):
    rows = []
    for label in labels:
        w = width_of(label.text, label.height)
        x = label.at[0] - {"start": 0.0, "middle": w / 2, "end": w}[label.anchor]
        rows.append(shapely.box(x, label.at[1], x + w, label.at[1] + label.height))
    return rows


def test_half_of_a_circle():
    half = halved(ring(100.0))
    # Closed form: half of the polygon.
    assert Polygon(half).area == pytest.approx(Polygon(ring(100.0)).area / 2, rel=1e-9)
    assert half[:, 0].min() == 0.0


def test_outline_is_lines_and_arcs_of_the_circle():
    for half, area, count in ((True, np.pi * 5000, 12), (False, np.pi * 10000, 20)):
        path = outline_path(ring(100.0), half)
        assert path.area() == pytest.approx(area, rel=4e-4)
        assert len(path.points) <= count
        assert path.closed
        assert path.layer == CUT


def test_template_says_what_it_is():
    words = " ".join(label.text for label in made().labels)
    for expected in ("SLAB 7 FRONT", "STA 1000", "SLAB 7 AFT", "STA 1050", "RIGHT HALF",
                     "turn over for LEFT", "arrow points up", "WL 500 REFERENCE", "BL 0",
                     "no alignment holes", "CUT BY THIS ONE"):  # fmt: skip
        assert expected in words
    assert made().notes == ("a note",)


def test_areas_layers_and_holes():
    drawing = made()
    cut = sorted(path.area() for path in drawing.paths if path.layer == CUT)
    # Closed forms: two holes of 8 mm, and both half discs.
    assert cut[:2] == pytest.approx([np.pi * 16] * 2)
    assert cut[2:] == pytest.approx([np.pi * 90**2 / 2, np.pi * 100**2 / 2], rel=1e-3)
    whole = {path.name for path in drawing.paths if path.layer == REF}
    assert {"WL 500 REFERENCE", "BL 0", "BL 100", "up"} <= whole


def test_holes_stand_where_they_say():
    drawing = made()
    zero = next(p for p in drawing.paths if p.name == "BL 0").points[0][0]
    holes = [np.mean(p.points, axis=0) for p in drawing.paths if p.name == "alignment hole"]
    assert np.array(holes) - [zero, 0.0] == pytest.approx(np.array([[40.0, 470.0], [25.0, 540.0]]))


@pytest.mark.parametrize("half", [True, False])
@pytest.mark.parametrize("big", [310.0, 150.0, 104.0, 71.0, 45.0, 20.0])
def test_no_text_runs_into_lines_or_other_text(half, big):
    pair = Pair((15.0, 490.0), (20.0, 530.0)) if big > 60 else None
    drawing = made(big, 0.93 * big, half, pair)
    texts = boxes_of(drawing.labels)
    lines = [shapely.LineString(path.dense(0.1)) for path in drawing.paths]
    for i, text in enumerate(texts):
        assert not any(text.intersects(other) for other in texts[i + 1 :]), drawing.labels[i].text
        # The record's text is framed on the large side, so touching means close.
        hit = [p.name for p, line in zip(drawing.paths, lines, strict=True)
               if text.intersects(line)]  # fmt: skip
        assert not hit, (drawing.labels[i].text, hit)


@pytest.mark.parametrize("big", [310.0, 150.0, 104.0])
def test_words_stand_on_the_template_itself(big):
    drawing = made(big, 0.95 * big)
    name = next(t for t in drawing.labels if t.text == "SLAB 7 FRONT")
    outline = max((p for p in drawing.paths if p.layer == CUT), key=lambda p: p.area())
    assert Polygon(outline.dense(0.1)).contains(shapely.Point(name.at))


@pytest.mark.parametrize("big", [60.0, 35.0])
def test_a_small_template_carries_its_number(big):
    drawing = made(big, 0.95 * big, pair=None)
    mark = next(t for t in drawing.labels if t.text == "7F")
    outline = max((p for p in drawing.paths if p.layer == CUT), key=lambda p: p.area())
    assert Polygon(outline.dense(0.1)).contains(shapely.Point(mark.at))


def test_a_template_between_two_hundreds_has_its_own_lines():
    small = outline_path(ring(12.0, (0.0, 547.0)), True)
    drawing = slab_drawing(1, [SlabFace("aft", 5.0, small, None, False)], True, 8.0, 500.0, ())
    names = {path.name for path in drawing.paths}
    assert any(name.startswith("WL 5") for name in names)
    assert "BL 0" in names
    assert "WL 500 REFERENCE" not in names


def test_names_in_inches_and_mm_keep_off_the_next_template():
    with lengths_on_paper(True):
        drawing = made()
    met = clashes(drawing)
    assert "WL 19.685 in / 500 mm REFERENCE" in {label.text for label in drawing.labels}
    assert [one for one in met if one.text.startswith(("WL", "BL"))] == []
