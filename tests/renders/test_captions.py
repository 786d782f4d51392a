"""Words in a picture: in their place, in their ink, and nowhere else."""

import numpy as np

from geomgen.renders.captions import lettered

WHITE, BLACK = 255, (0.0, 0.0, 0.0)


def paper():
    return np.full((60, 200, 3), WHITE, dtype=np.uint8)


def inked(picture):
    rows, columns = np.nonzero((picture < 128).all(axis=2))
    return rows, columns


def test_words_stand_about_their_middle():
    sheet = paper()
    lettered(sheet, "10° left", (120, 25), BLACK, 13)
    rows, columns = inked(sheet)
    assert len(rows) > 50
    assert abs((columns.min() + columns.max()) / 2 - 120) < 4
    assert abs((rows.min() + rows.max()) / 2 - 25) < 4
    assert 5 < rows.max() - rows.min() < 20


def test_letters_stand_upright_and_not_mirrored():
    """An L has its foot at the bottom, to the right of its stem."""
    sheet = paper()
    lettered(sheet, "L", (100, 30), BLACK, 13)
    rows, columns = inked(sheet)
    foot = rows > (rows.min() + rows.max()) / 2
    assert columns[foot].max() > columns[~foot].max()
    assert columns[foot].min() <= columns[~foot].min()


def test_other_words_look_otherwise_and_what_is_beyond_the_border_is_left_out():
    one, other = paper(), paper()
    lettered(one, "30°", (100, 30), BLACK, 13)
    lettered(other, "60°", (100, 30), BLACK, 13)
    assert (one != other).any()
    edge = paper()
    lettered(edge, "a long line of words", (2, 1), BLACK, 13)
    assert len(inked(edge)[0]) > 0


def test_letters_are_as_high_as_asked():
    heights = []
    for points in (10, 20):
        sheet = paper()
        lettered(sheet, "H", (100, 30), BLACK, points)
        rows, _ = inked(sheet)
        heights.append(rows.max() - rows.min() + 1)
    assert abs(heights[1] - 2 * heights[0]) <= 2
