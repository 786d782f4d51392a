"""The flat pattern at full size tells the diameter of every hole for which there is room."""

import pytest
from shops.sheet_metal.trays import pattern_of, tray

from geomgen.drafting.clashes import clashes
from geomgen.shops.sheet_metal.drawing.datum import datum_of
from geomgen.shops.sheet_metal.drawing.full_size import flat_drawing

USE = "CABLE"


def drawing_of(holes, radius=150.0):
    pattern = pattern_of(tray(radius=radius, holes=holes))
    return flat_drawing(pattern, datum_of(pattern.sheet), ("A",), (USE,) * len(holes), ())


def test_a_hole_by_itself_is_measured_across() -> None:
    drawing = drawing_of([(40.0, 30.0, 22.0)])
    assert [d.text for d in drawing.dimensions] == ["H1 Ø22.00"]
    assert USE in [label.text for label in drawing.labels]


def test_what_can_not_be_measured_across_has_its_diameter_as_text() -> None:
    holes = [(12.0 * i - 18.0, 12.0 * j - 18.0, 8.0) for i in range(4) for j in range(4)]
    drawing = drawing_of(holes, 120.0)
    measured = {f"{d.text} mm" for d in drawing.dimensions}
    written = {label.text for label in drawing.labels}
    every = {f"H{i + 1} Ø8.00 mm" for i in range(len(holes))}
    assert 0 < len(measured) < len(every)
    assert {f"{text} {USE}" for text in every - measured} <= written
    assert clashes(drawing) == ()


@pytest.mark.long
def test_where_not_even_the_text_has_room_the_number_is_written() -> None:
    holes = [(12.0 * i - 18.0, 12.0 * j - 18.0, 8.0) for i in range(4) for j in range(4)]
    drawing = drawing_of(holes, 45.0)
    assert "H2" in {label.text for label in drawing.labels}
