import pytest

from geomgen.shops.hotwire_cores.printed_face import FACE_WORDS, FACES, face_of


@pytest.mark.parametrize("face", FACES)
def test_a_face_is_read_from_its_own_words(face) -> None:
    assert face_of(("WING CORE", FACE_WORDS[face])) == face


def test_no_face_or_two_of_them_is_none() -> None:
    assert face_of(("WING CORE",)) is None
    assert face_of(tuple(FACE_WORDS.values())) is None
