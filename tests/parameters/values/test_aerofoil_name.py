import pytest

from geomgen.errors import ParameterError
from geomgen.parameters.values.aerofoil_name import Aerofoil


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("NACA 0012", "NACA 0012"),
        ("naca2412", "NACA 2412"),
        ("NACA-4415", "NACA 4415"),
        (" NACA 23012 ", "NACA 23012"),
        ("NACA 13009", "NACA 13009"),
        ("file:curlew.dat", "file:curlew.dat"),
        ("file: own/curlew.dat", "file:own/curlew.dat"),
        ("file:../curlew.dat", "file:../curlew.dat"),
    ],
)
def test_reads(text, name):
    assert Aerofoil().read(text) == name


@pytest.mark.parametrize(
    "text",
    [
        "NACA 2012",
        "NACA 0412",
        "NACA 2112",
        "NACA 2912",
        "NACA 2400",
        "NACA 2403",
        "NACA 2440",
        "NACA 23112",
        "NACA 73012",
        "NACA 26012",
        "NACA 20012",
        "NACA 241",
        "NACA 241215",
        "NACA ٢٤١٢",
        "2412",
        2412,
        None,
        "",
        "file:",
        "file:/etc/curlew.dat",
        "file:c:/curlew.dat",
        "file:own\\curlew.dat",
        "file:own//curlew.dat",
        "file:./curlew.dat",
        "file:a\x00b",
    ],
)
def test_refuses(text):
    with pytest.raises(ParameterError) as caught:
        Aerofoil().read(text)
    assert caught.value.allowed


def test_every_name_that_is_taken_can_be_built():
    """The builder of outlines takes every kind of digits that is let in here."""
    from geomgen.shapes.aerofoil import naca

    digits = [f"{m}{p}{t:02d}" for m in (1, 9) for p in (2, 7) for t in (4, 30)]
    digits += [f"{lift}{p}0{t:02d}" for lift in range(1, 7) for p in range(1, 6) for t in (4, 30)]
    for name in [*digits, "0004", "0030"]:
        assert Aerofoil().read(f"NACA {name}") == f"NACA {name}"
        assert naca(name).shape[1] == 2
