"""Widths of lines against ISO 128-2; every layer has a pen."""

import pytest

from geomgen.drafting.paper.pens import ORDER, PENS, SHOP_PENS, VIEW_PENS
from geomgen.drafting.record import LAYERS

# ISO 128-2: line widths in mm, in steps of the square root of two. PUBLISHED.
ISO_128 = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)


@pytest.mark.parametrize("layer", VIEW_PENS)
def test_widths_of_views_are_those_of_the_standard(layer):
    assert VIEW_PENS[layer][0] in ISO_128


def test_every_layer_has_a_pen_and_a_place():
    assert set(PENS) == set(LAYERS)
    assert sorted(ORDER) == sorted(LAYERS)


def test_layers_of_the_shops_can_be_told_by_their_width():
    assert len({width for width, _ in SHOP_PENS.values()}) == len(SHOP_PENS)


def test_hidden_former_and_centre_lines_are_broken_and_outlines_are_not():
    assert all(PENS[layer][1] for layer in ("HIDDEN", "FORMER", "CENTRE"))
    assert not any(PENS[layer][1] for layer in ("VISIBLE", "SECTION", "NEW", "DIM", "OPEN"))
