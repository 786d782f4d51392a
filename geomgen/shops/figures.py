"""Sizes in words as the builder wrote them: never rounded to what is not on the tape."""


def plain(value: float) -> str:
    """Return a length [mm] to a tenth of a thousandth, without noughts that say nothing.

    >>> plain(6.35), plain(12.7), plain(50.0), plain(-0.0)
    ('6.35', '12.7', '50', '0')
    """
    return f"{round(value, 4) + 0.0:.10g}"


def counted(number: int, one: str, many: str = "") -> str:
    """Return a number of things in words.

    >>> counted(1, "bend"), counted(3, "bend"), counted(1, "ply", "plies")
    ('1 bend', '3 bends', '1 ply')
    """
    return f"{number} {one if number == 1 else many or one + 's'}"


def sta(value: float) -> str:
    """Return a station [mm] to a hundredth, as near as a line can be drawn.

    >>> sta(1273.4714), sta(6.35), sta(50.0)
    ('1273.47', '6.35', '50')
    """
    return plain(round(value, 2))
