"""Texts of a DXF: written and read back."""

from typing import Any

from geomgen.drafting.faults import Nearness
from geomgen.drafting.record import Label

# What a place, a height or an angle may be off [mm, degrees].
WRITTEN_TO = 1e-6
NEAR = Nearness(WRITTEN_TO, WRITTEN_TO, WRITTEN_TO, layers=True)
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
