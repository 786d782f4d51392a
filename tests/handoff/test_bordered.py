"""The border holds text that stands over the edge of the lines."""

from geomgen.drawings.record import Drawing, Label, line
from geomgen.handoff.bordered import bordered
from geomgen.handoff.text_room import wide


def test_text_to_the_left_is_inside() -> None:
    label = Label((0.0, 0.0), "STA 1200", 5.0, 0.0, "end")
    plain = Drawing("x", (line((0.0, 0.0), (50.0, 10.0)),), (label,), ("note",))
    made = bordered(plain, 3.0)
    (left, low), (right, high) = made.box()
    assert left == -wide("STA 1200", 5.0) - 3.0
    assert (right, low, high) == (53.0, -3.0, 13.0)
    assert made.notes == ("note",)
    assert made.paths[-1].name == "border"
