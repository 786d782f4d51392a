"""What the view says of the checks."""

from report_pages import checks, page

from geomgen.pages.measured_scene import spans_of, viewed


def test_only_distances_between_two_points_are_lines():
    (span,) = spans_of(checks())
    assert (span.id, span.text) == ("prop.radial_clearance", "500.00 mm")
    assert span.ends == checks()[0].points


def test_each_place_says_what_was_measured_and_how_it_came_out():
    shown = page()
    gap, area = viewed(shown.scene, shown.checks, shown.places)["places"]
    assert gap["text"] == "tips to structure: 500.00 mm"
    assert gap["words"] == "PASS, at least 400.00 mm"
    assert (area["figure"], area["words"]) == ("4.0 cm²", "FAIL, 300.0 to 500.0 cm²")
    assert area["at"] == (300.0, 200.0, 0.0)


def test_a_check_that_is_not_drawn_has_no_figure_in_the_view():
    shown = page()
    bare = viewed(type(shown.scene)(shown.scene.bodies), shown.checks, shown.places)["places"]
    assert [place["figure"] for place in bare] == ["", ""]
