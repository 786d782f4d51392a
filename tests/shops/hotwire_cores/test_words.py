import pytest
from shops.hotwire_cores.core_wing import SPAN, skins, wing

from geomgen.parameters.records.shops import Cores
from geomgen.shops.hotwire_cores.pieces import pieces
from geomgen.shops.hotwire_cores.words import foam_between, template_notes, template_words

SHOP = Cores(kerf="1.2 mm", bow="400 mm")


@pytest.fixture(scope="module")
def rows():
    return pieces(wing(), skins(1), (0.0, SPAN), (), SHOP, 0.45)


def test_a_piece_is_named_in_its_order(rows) -> None:
    heads = [template_words(row, end, 1, SHOP, 0.45)[0] for row in rows for end in (0, 1)]
    assert heads[0] == "WING CORE - PANEL 1 OF 1 - PIECE 1 OF 3 - ROOT - RIGHT"
    assert heads[3] == "WING CORE - PANEL 1 OF 1 - PIECE 2 OF 3 - TIP - RIGHT"


def test_the_foam_between_is_told_square_and_along_both_edges(rows) -> None:
    # Closed form: 300 mm of span, the leading edge 50 mm aft and 27 up on 900, the trailing edge
    # 150 mm forward.
    told = foam_between(rows[1])
    assert "300.0 mm square across" in told
    assert f"{(300**2 + (50 / 3) ** 2 + 9**2) ** 0.5:.1f} mm along LE" in told


def test_neighbours_are_named_where_there_are_any(rows) -> None:
    def joins(row, end) -> list[str]:
        return [note for note in template_notes(row, end, SHOP) if "joins on" in note]

    assert joins(rows[0], 0) == joins(rows[2], 1) == []
    assert joins(rows[0], 1)[0].startswith("Here piece 2 joins on: its root template")
    assert joins(rows[1], 0)[0].startswith("Here piece 1 joins on: its tip template")
