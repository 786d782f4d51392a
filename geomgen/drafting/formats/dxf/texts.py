"""Texts of a DXF: written, read back, compared."""

from typing import Any

from geomgen.drafting.record import Label

# What a place, a height or an angle may be off [mm, degrees].
WRITTEN_TO = 1e-6
ALIGN = {"start": "LEFT", "middle": "CENTER", "end": "RIGHT"}


def add_text(space: Any, label: Label) -> None:
    """Add a label to the model space or to a block."""
    from ezdxf.enums import TextEntityAlignment

    space.add_text(
        label.text,
        height=label.height,
        rotation=label.angle,
        dxfattribs={"layer": label.layer},
    ).set_placement(label.at, align=TextEntityAlignment[ALIGN[label.anchor]])


def read_text(entity: Any) -> Label:
    """Return a TEXT as a label."""
    align, at, _ = entity.get_placement()
    anchor = next((name for name, word in ALIGN.items() if word == align.name), "start")
    return Label(
        (float(at.x), float(at.y)),
        str(entity.dxf.text),
        float(entity.dxf.height),
        float(entity.dxf.rotation),
        anchor,
        str(entity.dxf.layer),
    )


def same_text(a: Label, b: Label) -> bool:
    """Whether two labels say the same in the same place, size and direction.

    >>> same_text(Label((0.0, 0.0), "WL 820"), Label((0.0, 0.1), "WL 820"))
    False
    """
    if (a.text, a.anchor, a.layer) != (b.text, b.anchor, b.layer):
        return False
    turned = abs((a.angle - b.angle + 180) % 360 - 180)
    far = max(abs(a.at[0] - b.at[0]), abs(a.at[1] - b.at[1]), abs(a.height - b.height))
    return far <= WRITTEN_TO and turned <= WRITTEN_TO
