"""Texts that meet lines and texts: closed forms, and clean drawings that are spoilt on purpose."""

import time
from dataclasses import replace

import pytest

from geomgen.drafting.clashes import clashes
from geomgen.drafting.record import (
    CENTRE,
    HATCH,
    OPEN,
    VISIBLE,
    Dimension,
    Drawing,
    Label,
    Path,
    circle,
    line,
    rectangle,
)

TEXT = Label((10.0, 10.0), "STA 1500", 3.5)


def met(*paths, labels=(TEXT,), dimensions=()):
    return [c.other for c in clashes(Drawing("a", paths, labels, (), dimensions))]


def test_line_through_a_text_is_found_and_named():
    assert met(line((0, 11), (90, 11), CENTRE, "thrust line")) == ["line thrust line of CENTRE"]
    assert met(line((0, 8.5), (90, 8.5), CENTRE)) == []


@pytest.mark.parametrize("layer", [HATCH, OPEN])
def test_hatching_and_openings_do_not_count(layer):
    assert met(line((0, 11), (90, 11), layer)) == []


def test_two_texts():
    assert met(labels=(TEXT, replace(TEXT, text="WL 820", at=(15.0, 12.0)))) == ["text 'WL 820'"]
    assert met(labels=(TEXT, replace(TEXT, at=(10.0, 20.0)))) == []


def test_an_arc_counts_as_the_arc_that_it_is():
    # Closed form: a half circle of radius 40 from (-20, 10) to (60, 10) bulges away from its chord,
    # which runs through the text; below, it passes 30 mm under it.
    assert met(Path(((-20, 12), (60, 12)), (1.0, 0.0), False, VISIBLE)) == []
    assert met(Path(((-20, 12), (60, 12)), (), False, VISIBLE)) == ["line of VISIBLE"]
    assert met(circle((18.0, 11.0), 40.0, VISIBLE)) == []


def test_turned_text_takes_its_own_room_only():
    turned = replace(TEXT, angle=90.0)
    across = line((12, 0), (12, 40), VISIBLE)
    assert met(across, labels=(turned,)) == []
    assert met(across) == ["line of VISIBLE"]


def test_figures_of_dimensions_count_but_not_their_own_line():
    one = Dimension((0.0, 0.0), (80.0, 0.0), (0.0, -20.0))
    assert met(labels=(), dimensions=(one,)) == []
    spoilt = line((40, -25), (40, -5), VISIBLE, "keel")
    assert met(spoilt, labels=(), dimensions=(one,)) == ["line keel of VISIBLE"]
    other = Dimension((0.0, 0.0), (80.0, 0.0), (0.0, -18.0), name="second")
    assert met(labels=(), dimensions=(one, other))


def test_empty_texts_and_drawings():
    assert met(line((0, 11), (90, 11)), labels=(replace(TEXT, text=" "),)) == []
    assert clashes(Drawing("a")) == ()


def test_five_hundred_paths_take_less_than_a_second():
    paths = [circle((i % 25 * 50.0, i // 25 * 50.0), 20.0, VISIBLE) for i in range(500)]
    paths.append(rectangle((-30, -30), (1300, 1100), VISIBLE))
    labels = tuple(Label((p.points[0][0] + 10, p.points[0][1]), "STA 1", 2.5) for p in paths[:200])
    start = time.process_time()
    found = clashes(Drawing("a", tuple(paths), labels))
    assert time.process_time() - start < 1.0
    assert found == ()
