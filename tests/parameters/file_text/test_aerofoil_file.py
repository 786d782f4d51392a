from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from geomgen.errors import ParameterError
from geomgen.parameters.file_text.aerofoil_file import read_aerofoil

CURLEW = Path(__file__).parents[3] / "configs" / "curlew.dat"
# NACA 0012 at 0, 5, 20, 60, 100 % chord, half thickness in chords.
# The equation of the four-digit thickness, rounded. Status: DERIVED.
HALF = [(0.05, 0.03555), (0.2, 0.05738), (0.4, 0.05803), (0.6, 0.04563), (0.8, 0.02623)]
UPPER = [(0.0, 0.0), *HALF, (1.0, 0.00126)]
LOWER = [(x, -y) for x, y in UPPER]
SELIG = [*UPPER[::-1], *LOWER[1:]]


def text_of(points, head="a section\n"):
    return head + "".join(f"{x} {y}\n" for x, y in points)


def written(folder, text):
    file = folder / "own.dat"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return file


@pytest.mark.parametrize(
    "text",
    [
        text_of(SELIG),
        text_of(SELIG, head=""),
        text_of(SELIG, head="# by hand\n\nNACA 0012 section\n! note\n"),
        text_of(SELIG).replace("\n", "\r\n"),
        text_of(SELIG).replace("0.2 ", "0.2, "),
        text_of([(7.0, 7.0), *UPPER, *LOWER]),
        "a section\n7. 7.\n\n" + text_of(UPPER, "") + "\n" + text_of(LOWER, ""),
        b"\xef\xbb\xbf" + text_of(SELIG).encode(),
    ],
    ids=["selig", "no name", "comments", "crlf", "comma", "lednicer", "lednicer blanks", "bom"],
)
def test_both_orders_give_one_list_round_the_section(tmp_path, text):
    assert list(read_aerofoil(written(tmp_path, text))) == SELIG


def test_nose_given_for_each_side(tmp_path):
    upper, lower = [(0.0, 0.004), *UPPER[1:]], [(0.0, -0.004), *LOWER[1:]]
    points = read_aerofoil(written(tmp_path, text_of([(7, 7), *upper, *lower])))
    assert len(points) == 14
    assert points[6:8] == ((0.0, 0.004), (0.0, -0.004))


def test_own_section_is_read():
    points = read_aerofoil(CURLEW)
    assert len(points) == 49
    assert points[0][0] == points[-1][0] == 1.0


BROKEN = {
    "few": (text_of(SELIG[:5]), "too few points"),
    "empty": ("", "too few points"),
    "nan": (text_of(SELIG).replace("0.05738", "nan"), "not finite"),
    "inf": (text_of(SELIG).replace("0.05738", "1e999"), "not finite"),
    "word": (text_of(SELIG).replace("0.2 0.05738", "0.2 thick"), "not a pair of numbers"),
    "three numbers": (text_of(SELIG).replace("0.2 0.05738", "0.2 0.1 0.3"), "not a pair"),
    "per cent": (text_of([(100 * x, 100 * y) for x, y in SELIG]), "chord does not run"),
    "millimetres": (text_of([(3 * x, 3 * y) for x, y in SELIG]), "numbers of points|chord"),
    "half chord": (text_of([(x / 2, y) for x, y in SELIG]), "chord does not run"),
    "moved": (text_of([(x + 0.1, y) for x, y in SELIG]), "chord does not run"),
    "open edge": (text_of([(1.0, 0.06), *SELIG[1:]]), "trailing edge is open"),
    "upside down": (text_of(SELIG[::-1]), "trailing edge is open"),
    "crossing": (
        text_of([*UPPER[::-1], *[(x, -y if x == 0.6 else y) for x, y in LOWER[1:]]]),
        "stay above",
    ),
    "doubled": (text_of([*SELIG[:3], SELIG[2], *SELIG[3:]]), "twice in a row"),
    "zigzag": (text_of([*SELIG[:2], SELIG[3], SELIG[2], *SELIG[4:]]), "does not run"),
    "thick": (text_of([(x, 12 * y if 0 < x < 1 else y) for x, y in SELIG]), "off the chord line"),
    "one side": (text_of([*UPPER, (1.0, 0.0), *UPPER[::-1]]), "nose|chord|does not run"),
    "wrong numbers": (text_of([(9.0, 4.0), *UPPER, *LOWER]), "numbers of points"),
    "half a point": (text_of([(6.5, 7.5), *UPPER, *LOWER]), "numbers of points"),
    "utf-16": (text_of(SELIG).encode("utf-16"), "UTF-16"),
    "latin-1": (text_of(SELIG, "Flügel\n").encode("latin-1"), "not UTF-8"),
    "binary": (bytes(range(256)), "UTF-16, or not a text file"),
    "too many": ("x\n" + "0.5 0.1\n" * 2100, "too many points"),
    "too big": ("# " + "x" * 300_000, "too big"),
}


@pytest.mark.parametrize("case", BROKEN)
def test_absurd_files_are_refused(tmp_path, case):
    text, message = BROKEN[case]
    with pytest.raises(ParameterError, match=message) as caught:
        read_aerofoil(written(tmp_path, text))
    assert caught.value.exit_code == 2
    assert caught.value.file == "own.dat"


def test_missing_and_folder(tmp_path):
    with pytest.raises(ParameterError, match="no such file"):
        read_aerofoil(tmp_path / "none.dat")
    with pytest.raises(ParameterError, match="a folder"):
        read_aerofoil(tmp_path)


def test_line_of_a_bad_row(tmp_path):
    with pytest.raises(ParameterError) as caught:
        read_aerofoil(written(tmp_path, "name\n# c\n\n1 0.001\nbad row\n"))
    assert caught.value.line == 5


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(tmp_path, raw):
    try:
        assert len(read_aerofoil(written(tmp_path, raw))) >= 11
    except ParameterError:
        return
