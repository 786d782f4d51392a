"""Which face of a core's template is printed: the one that looks out of the foam."""

from typing import Literal

Face = Literal["outboard", "inboard"]
FACE_WORDS: dict[Face, str] = {
    "outboard": "THIS FACE OUT, TO THE TIP: seen from outboard",
    "inboard": "THIS FACE OUT, TO THE ROOT: seen from inboard",
}
# The root template is read from inboard, the tip template from outboard.
FACES: tuple[Face, Face] = ("inboard", "outboard")


def across(side: int, face: Face) -> int:
    """Return 1 where aft is drawn to the right on a face, -1 where it is drawn to the left.

    `side` is 1 on the right of the aircraft, -1 on the left. With the top up, who looks inboard at
    the right-hand wing has its tail on the left (closed form: aft is the way of sight times up).

    >>> across(1, "outboard"), across(1, "inboard"), across(-1, "outboard")
    (-1, 1, 1)
    """
    return -side if face == "outboard" else side


def face_of(words: tuple[str, ...]) -> Face | None:
    """Return the face that a template's print says it shows; None when it says none, or both."""
    said: list[Face] = [
        face for face in FACES if any(f"seen from {face}" in text for text in words)
    ]
    return said[0] if len(said) == 1 else None
