"""What is said of each part on sheets and lists: hand, size, treatment, how heavy."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from geomgen.documents.record import Table, rows_of
from geomgen.verdicts.check import Check

# As the note of `assembly.order` tells each part.
PUT_IN = re.compile(r"(\d+)\. (.+?) (from [^(;]+?|\(built in place\)|\(barred\))(?=, \d+\. |;|$)")


@dataclass(frozen=True)
class PartDimension:
    """One length [mm] that a tape can verify."""

    what: str
    value: float


@dataclass(frozen=True)
class PartRow:
    """A finished part: its hand, three dimensions, volume [mm3], area [mm2], treatment."""

    part: str
    hand: str
    dimensions: tuple[PartDimension, ...]
    volume: float
    area: float
    treatment: str
    files: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        return asdict(self)


def hand_of(part: str) -> str:
    """Return left, right or nothing, from the name of a part.

    >>> hand_of("boom_left"), hand_of("pod")
    ('left', '')
    """
    last = part.rsplit("_", 1)[-1]
    return last if last in ("left", "right") else ""


def family_of(part: str) -> str:
    """Return the name of a part without its hand.

    >>> family_of("scoop_cheek_right")
    'scoop_cheek'
    """
    hand = hand_of(part)
    return part.removesuffix(f"_{hand}") if hand else part


def part_rows(entries: Sequence[Mapping[str, Any]], treatments: Mapping[str, str]) -> list[PartRow]:
    """Return a row for each part of a manifest; `treatments` by the part's name without hand."""
    found: dict[str, dict[str, Any]] = {}
    for entry in entries:
        if entry.get("what") not in ("mesh", "solid") or "/" in entry["file"]:
            continue
        row = found.setdefault(entry["part"], {"files": []})
        row["files"].append(entry["file"])
        if entry["what"] == "solid":
            row["solid"] = entry
    return [
        PartRow(
            part,
            hand_of(part),
            tape_dimensions(row["solid"]["bounding_box"]),
            float(row["solid"]["volume_mm3"]),
            float(row["solid"]["area_mm2"]),
            treatments.get(family_of(part), "finished size, no skin taken off"),
            tuple(sorted(row["files"])),
        )
        for part, row in sorted(found.items())
    ]


def tape_dimensions(box: Mapping[str, Sequence[float]]) -> tuple[PartDimension, ...]:
    """Return the three lengths over all [mm] of a box.

    >>> [d.value for d in tape_dimensions({"low_mm": [0, 0, 0], "high_mm": [1, 2, 3]})]
    [1, 2, 3]
    """
    names = ("length fore and aft, over all", "breadth over all", "height over all")
    return tuple(
        PartDimension(name, round(high - low, 1))
        for name, low, high in zip(names, box["low_mm"], box["high_mm"], strict=True)
    )


def put_in(checks: Iterable[Check]) -> Table | None:
    """Return in which order parts can be put in, and from which side; None where nobody asked."""
    notes = [check.note for check in checks if check.id == "assembly.order"]
    rows = rows_of(
        (number, part, side.strip("()"))
        for note in notes
        for number, part, side in PUT_IN.findall(note)
    )
    head = ("no.", "part", "put in straight")
    return Table(head, rows, (0.1, 0.5, 0.4), "Order of assembly", (0,)) if rows else None
