"""Outlines of a DXF: written and read back, lines and arcs as they are."""

from typing import Any

from geomgen.drafting.record import Path


def add_outline(space: Any, outline: Path) -> None:
    """Add an outline to the model space or to a block."""
    bulges = outline.bulges or (0.0,) * len(outline.points)
    rows = [(x, y, bulge) for (x, y), bulge in zip(outline.points, bulges, strict=True)]
    space.add_lwpolyline(
        rows, format="xyb", close=outline.closed, dxfattribs={"layer": outline.layer}
    )


def read_outline(entity: Any) -> Path:
    """Return an LWPOLYLINE as an outline; ValueError for a layer that is not ours."""
    rows = entity.get_points("xyb")
    bulges = tuple(float(row[2]) for row in rows)
    return Path(
        tuple((float(row[0]), float(row[1])) for row in rows),
        bulges if any(bulges) else (),
        bool(entity.closed),
        str(entity.dxf.layer),
    )
