"""Flat plates of skin over which the air slows down: Howarth's flow."""

import numpy as np

from geomgen.air.slow_layer.streamlines import SweptSurface

START = 2000.0


def falling_surface(rise):
    """A plate from `START` [mm] on whose outer speed falls linearly behind its first 100 mm."""
    x, y = np.meshgrid(np.arange(0.0, 1000.0, 10.0), np.arange(-60.0, 61.0, 10.0))
    x, y = x.ravel(), y.ravel()
    speed = 1 - rise * np.maximum(0.0, x - 100.0)
    nothing = np.zeros_like(x)
    return SweptSurface.of(
        np.stack([START + x, y, nothing], axis=1),
        np.stack([nothing, nothing, nothing + 1], axis=1),
        np.stack([speed, nothing, nothing], axis=1),
    )
