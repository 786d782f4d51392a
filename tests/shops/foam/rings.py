"""Plain outlines and slabs for the tests of the foam stack: circles and ellipses."""

import numpy as np

from geomgen.shops.foam.slabs import Slab


def ring(radius, centre=(0.0, 500.0), high=None, count=200):
    """Return an ellipse as an outline (n, 2), of a half-breadth and a half-height."""
    turn = np.linspace(0, 2 * np.pi, count, endpoint=False)
    high = radius if high is None else high
    return np.c_[centre[0] + radius * np.cos(turn), centre[1] + high * np.sin(turn)]


def section(outline):
    """Return an outline with normals that look away from its middle, in its plane."""
    away = outline - outline.mean(axis=0) if len(outline) else outline
    away = away / np.linalg.norm(away, axis=1)[:, None] if len(outline) else away
    return outline, np.c_[np.zeros(len(outline)), away]


def slab(number, front, aft, outlines):
    """Return a slab of three outlines: front, middle, aft; None is an end in a point."""
    rows = [section(np.zeros((0, 2)) if o is None else o) for o in outlines]
    return Slab(number, front, aft, tuple(rows))
