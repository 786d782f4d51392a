"""Sizes in words: what the builder wrote, converted and not rounded."""

import pytest

from geomgen.shops.figures import plain


@pytest.mark.parametrize(
    ("inches", "words"), [(1 / 4, "6.35"), (1 / 2, "12.7"), (3 / 8, "9.525"), (1 / 16, "1.5875")]
)
def test_fractions_of_an_inch(inches, words):
    # An inch is 25.4 mm by definition.
    assert plain(25.4 * inches) == words
