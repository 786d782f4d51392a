"""Outlines where the depth jumps, none on slanted flats; means of pixels. Source: closed forms."""

import numpy as np

from geomgen.renders.ink import outlined, smoothed

WHITE = np.full((40, 60, 3), 255, dtype=np.uint8)


def dark(depth, step=0.01):
    return outlined(WHITE, depth.astype(np.float32), step)[:, :, 0] < 200


def test_a_step_in_depth_has_a_line_on_its_near_side():
    depth = np.full((40, 60), 0.6)
    depth[10:30, 20:40] = 0.5
    line = dark(depth)
    assert line[20, 20]
    assert not line[20, 19]
    assert not line[20, 25:38].any()
    assert line[10, 30]
    assert line.sum() < 300


def test_a_slanted_flat_has_none():
    x = np.arange(60) / 100
    assert not dark(np.tile(0.1 + x, (40, 1))).any()


def test_less_than_the_step_has_none():
    depth = np.full((40, 60), 0.6)
    depth[10:30, 20:40] = 0.595
    assert not dark(depth).any()
    assert dark(depth, 0.004).any()


def test_an_empty_picture_stays_empty():
    assert np.array_equal(outlined(WHITE, np.ones((40, 60), dtype=np.float32), 0.01), WHITE)


def test_the_mean_of_each_square():
    values = np.random.default_rng(1).integers(0, 256, (20, 30, 3), dtype=np.uint8)
    due = values.reshape(10, 2, 15, 2, 3).astype(float).mean(axis=(1, 3))
    assert np.abs(smoothed(values, 2) - due).max() <= 0.5
