"""Pieces of a cut: size and place as a closed form says, in words that a builder reads."""

import pytest

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.solids.fragments import TOLD, Fragment, told


def test_figures_of_a_cylinder() -> None:
    """Closed form: pi r^2 h, its middle, its box, pi r^2 across the axis."""
    rod = Fragment(cylinder((100.0, -50.0, 20.0), (1, 0, 0), 10.0, 300.0))
    assert rod.volume == pytest.approx(3.141592653589793 * 100 * 300, rel=1e-6)
    assert rod.centre == pytest.approx((250.0, -50.0, 20.0), abs=1e-6)
    assert rod.box.size == pytest.approx((300.0, 20.0, 20.0), abs=1e-3)
    assert rod.area_along(0) == pytest.approx(3.141592653589793 * 100, rel=1e-5)


def test_the_largest_is_told_first_and_a_place_never_reads_minus_nought() -> None:
    small, large = box((0, -1, 0), (10, 0.4, 10)), box((20, 0, 0), (120, 10, 10))
    text = told([Fragment(small), Fragment(large)])
    assert text.startswith("(1) 10 cm^3, 100 x 10 x 10 mm, at STA 70, BL 5, WL 5 mm; (2) 0.14 cm^3")
    assert "-0" not in text


def test_a_message_does_not_tell_a_hundred_pieces() -> None:
    many = [Fragment(box((20 * i, 0, 0), (20 * i + 10, 1, 1))) for i in range(TOLD + 3)]
    assert told(many).endswith("; and 3 smaller")
