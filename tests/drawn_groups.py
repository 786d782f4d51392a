"""What is drawn on a sheet of paper as one drawing, to ask what meets what."""

from geomgen.drafting.record import Drawing


def as_drawing(groups, name="sheet"):
    """Return groups as one drawing in millimetres of paper."""
    return Drawing(
        name,
        tuple(path for group in groups for path in group.paths),
        tuple(label for group in groups for label in group.labels),
    )
