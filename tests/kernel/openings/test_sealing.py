"""Slits between two solids that count as sealed: width, area, and what stays a leak."""

import math

import pytest

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.openings.sealing import SEALED
from geomgen.kernel.openings.window import opening
from geomgen.kernel.plain import Plane
from geomgen.kernel.solids.booleans import cut

ACROSS = Plane((50.0, 0.0, 0.0), (1.0, 0.0, 0.0))
SEED = (50.0, 0.0, 0.0)


def channel(slit: float, lean: float = 0.0):
    """Return a duct of 40 x 30 mm: a U-shaped scoop, `slit` off the plate that closes it."""
    block, hollow = box((0, -23, -20), (100, 23, 18)), box((-1, -20, -15), (101, 20, 19))
    u = cut(block, [hollow], "scoop", "hollow")
    return [u, box((0, -60, 18 + slit), (100, 60, 24 + slit))]


@pytest.mark.parametrize("slit", [0.001, 0.3, 1.0, 2.5, 2.9])
def test_a_joint_counts_as_sealed_and_its_width_is_told(slit) -> None:
    """40 mm x (33 mm + slit) of rectangle (closed form), within the stated bound."""
    found = opening(ACROSS, SEED, 40.0, channel(slit), SEALED)
    assert found.state == "open"
    assert found.slit == pytest.approx(slit, abs=0.01)
    assert found.standing == (0, 1)
    assert abs(found.area - 40.0 * (33.0 + slit)) <= found.error
    assert found.error < 2 * (slit * slit + slit) + 0.02


@pytest.mark.parametrize("slit", [3.2, 10.0])
def test_a_wide_slit_leaks(slit) -> None:
    assert opening(ACROSS, SEED, 40.0, channel(slit), SEALED).state == "leaks"


def test_a_missing_wall_leaks() -> None:
    assert opening(ACROSS, SEED, 40.0, channel(0.3)[:1], SEALED).state == "leaks"


def test_a_crack_in_one_part_is_no_joint() -> None:
    rod, hole = (cylinder((0, 0, 0), (1, 0, 0), r, 100.0) for r in (12.0, 10.0))
    crack = box((0, -0.15, 0), (100, 0.15, 30))
    cracked = cut(cut(rod, [hole], "pipe", "bore"), [crack], "pipe", "crack")
    assert opening(ACROSS, SEED, 30.0, [cracked], SEALED).state == "leaks"


def test_without_a_word_of_seals_the_same_slit_leaks() -> None:
    assert opening(ACROSS, SEED, 40.0, channel(0.3)).state == "leaks"


@pytest.mark.parametrize("gap", [0.1, 0.5, 2.0])
def test_a_round_pipe_in_two_shells(gap) -> None:
    """Two half pipes `gap` apart: the circle and the strip between (closed form)."""
    halves = []
    for side in (-1.0, 1.0):
        rod, hole = (cylinder((0, 0, side * gap / 2), (1, 0, 0), r, 100.0) for r in (14.0, 12.0))
        moved = box((-1, -20, -20), (101, 20, gap / 2)) if side > 0 else None
        lower = box((-1, -20, -gap / 2), (101, 20, 20))
        halves.append(cut(rod, [hole], "pipe", "bore"))
        halves[-1] = cut(halves[-1], [moved if side > 0 else lower], "pipe", "half")
    found = opening(ACROSS, SEED, 30.0, halves, SEALED)
    assert found.slit == pytest.approx(gap, abs=0.01)
    assert abs(found.area - (math.pi * 144.0 + 24.0 * gap)) <= found.error
