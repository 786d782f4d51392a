"""The hull and its openings: the half that is cut and doubled against the whole that is cut."""

from dataclasses import replace

import pytest

from geomgen.kernel.properties import mass_properties
from geomgen.shapes.hull import hull, opened, pod_lines
from geomgen.shapes.scoop import breaks, passages


def shell_and_air(p):
    pod = pod_lines(p)
    air = [piece for index in range(len(p.scoops)) for piece in passages(p, pod, index)]
    return hull(p, pod, breaks(p, pod)), air


def test_opened_half_is_the_opened_whole(saltmarsh) -> None:
    shell, air = shell_and_air(saltmarsh)
    by_half, whole = opened(shell, air), opened(replace(shell, half=None), air)
    one, other = mass_properties(by_half.solid), mass_properties(whole.solid)
    assert by_half.half is not None
    assert whole.half is None
    assert one.volume == pytest.approx(other.volume, rel=1e-7)
    assert one.volume < mass_properties(shell.solid).volume - 1000.0
    assert one.centroid == pytest.approx(other.centroid, abs=1e-3)
    assert one.centroid[1] == pytest.approx(0.0, abs=1e-6)


@pytest.mark.long
def test_one_passage_alone_opens_one_side(saltmarsh) -> None:
    """With no mirror image the whole hull is cut, and its middle moves to the closed side."""
    shell, air = shell_and_air(saltmarsh)
    both = mass_properties(opened(shell, air).solid)
    right = mass_properties(opened(shell, air[:1]).solid)
    closed = mass_properties(shell.solid)
    assert right.centroid[1] < -1e-3
    assert closed.volume - right.volume == pytest.approx(
        (closed.volume - both.volume) / 2, rel=1e-6
    )
