"""Panels kept and put together: neighbours, trailing edges and names move along."""

import numpy as np
import pytest
from air_bodies import body, plain_wing, winged_pod

from geomgen.air.potential.panels import NOBODY, together
from geomgen.errors import GeometryError


def test_together_moves_neighbours_and_edges() -> None:
    ball, wing = body(6, 6, name="ball"), plain_wing(8, 3)
    both = together([ball, wing])
    assert both.names == ("ball", "wing")
    assert (both.body == [0] * len(ball) + [1] * len(wing)).all()
    moved = both.neighbours[len(ball) :]
    known = wing.neighbours != NOBODY
    assert (moved[known] == wing.neighbours[known] + len(ball)).all()
    assert (moved[~known] == NOBODY).all()
    assert (both.edges.first == wing.edges.first + len(ball)).all()
    assert both.of("wing").sum() == len(wing)


def test_kept_forgets_who_is_gone() -> None:
    wing = plain_wing(8, 3)
    keep = np.ones(len(wing), dtype=bool)
    keep[wing.edges.first[0]] = False
    left = wing.kept(keep)
    assert left.edges.first[0] == NOBODY
    assert left.edges.last[0] == wing.edges.last[0] - 1
    known = left.neighbours != NOBODY
    assert left.neighbours[known].max() == len(left) - 1
    with pytest.raises(GeometryError, match="no panel is left"):
        wing.kept(~np.ones(len(wing), dtype=bool))


def test_names_and_halves_must_fit() -> None:
    with pytest.raises(GeometryError, match="there are ball"):
        body(6, 6, name="ball").of("pod")
    with pytest.raises(GeometryError, match="some bodies are halves"):
        together([body(6, 6), body(6, 12, whole=True)])


def test_what_is_cut_has_the_area_that_is_left() -> None:
    panels = winged_pod(12, 6, 12)
    cut = panels.trimmed
    assert cut.any()
    whole = panels.whole.areas
    assert (panels.areas[cut] < whole[cut]).all()
    assert panels.areas[~cut] == pytest.approx(whole[~cut])
    again = panels.kept(np.ones(len(panels), dtype=bool))
    assert again.areas == pytest.approx(panels.areas)
