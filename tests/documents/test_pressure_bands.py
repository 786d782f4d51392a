"""Colours of pressures: in order, told apart by everybody, ends for what lies beyond.

Colour blindness: matrices of Machado, Oliveira and Fernandes (2009), severity 1, on linear light
(MEMORY); differences by CIE 1976 L*a*b* (CIE 15), D65.
"""

import numpy as np
import pytest

from geomgen.documents.pressure_bands import (
    COUNT,
    MOUTH,
    TICKS,
    UNFELT,
    UNSURE,
    band,
    colours,
    edges,
)
from geomgen.documents.pressure_legend import pressure_legend

SEES = {
    "all": np.eye(3),
    "no red": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216],
               [-0.003882, -0.048116, 1.051998]],
    "no green": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413],
                 [-0.011820, 0.042940, 0.968881]],
    "no blue": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602],
                [0.004733, 0.691367, 0.303900]],
}  # fmt: skip
XYZ = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)  # IEC 61966-2-1


def seen(colour, matrix):
    """Return L*a*b* of a colour (0 to 255) as an eye with a matrix sees it."""
    c = np.array(colour) / 255
    linear = np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)
    xyz = XYZ @ np.clip(np.array(matrix) @ linear, 0, 1) / (0.9505, 1.0, 1.089)
    x, y, z = np.where(xyz > 0.008856, np.cbrt(xyz), 7.787 * xyz + 16 / 116)
    return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])


@pytest.mark.parametrize("eye", SEES)
def test_no_two_bands_far_apart_look_alike(eye):
    """Two colours differ plainly from some 2.3 on; here bands of another sign, or five apart."""
    lab = [seen(colour, SEES[eye]) for colour in colours()]
    free = band(0.0)
    for a in range(COUNT):
        for b in range(a + 1, COUNT):
            if b - a >= 5 or (a < free - 1 and b > free):
                assert np.linalg.norm(lab[a] - lab[b]) > 8.0, (a, b)


@pytest.mark.parametrize("eye", SEES)
def test_greys_are_no_band(eye):
    for grey in (UNFELT, UNSURE, MOUTH):
        off = [np.linalg.norm(seen(c, SEES[eye]) - seen(grey, SEES[eye])) for c in colours()]
        assert min(off) > 4.0, grey


def test_each_side_darkens_away_from_the_free_air():
    light = [seen(colour, SEES["all"])[0] for colour in colours()]
    free = band(0.0)
    assert light[:free] == sorted(light[:free])
    assert light[free:] == sorted(light[free:], reverse=True)


def test_a_coefficient_lies_between_the_edges_of_its_band():
    for value in np.linspace(-1.19, 0.99, 300):
        at = band(float(value))
        assert edges()[at] - 1e-9 <= value <= edges()[at + 1] + 1e-9
    assert (band(-9.0), band(9.0)) == (0, COUNT - 1)


def test_the_legend_has_its_numbers_at_the_edges():
    made = pressure_legend()
    assert len(made.bands) == COUNT
    for at, text in made.ticks:
        assert float(text) in TICKS
        band_there = made.bands[band(float(text) + 1e-6)]
        end = band_there[0] if float(text) < 1.0 else band_there[0] + band_there[1]
        assert at == pytest.approx(end, abs=0.02)
