"""What is still to be weighed: each part as it comes onto the scales, with what was computed."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from geomgen.balance.masses.displaced import hand_of
from geomgen.balance.masses.entries import MassEntry, names_of, of_parts
from geomgen.balance.masses.inertia import RigidBody, together
from geomgen.balance.masses.solid_figures import SolidFigures, solids_measured
from geomgen.measurements.record import Measurement
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.rules.masses import weighable


@dataclass(frozen=True)
class ScalePiece:
    """One piece as it is put on the scales: its body as computed [kg, mm], how far it may be off.

    `name` is what the file calls it, `parts` are the solids that it is made of: several where
    joints have cut it. `weighed` says that the file has its mass from the scales; `worked_out` is
    then what its solids give [kg], None where the file does not say what they are made of.
    """

    name: str
    parts: tuple[str, ...]
    body: RigidBody
    band: float
    how: str
    source: str
    weighed: bool
    worked_out: float | None = None

    def as_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        return {
            "part": self.name,
            "solids": list(self.parts),
            "mass_kg": self.body.mass,
            "band_kg": self.band,
            "centre_mm": list(self.body.centre),
            "how": self.how,
        }


def scale_pieces(p: Parameters, measurements: Sequence[Measurement]) -> tuple[ScalePiece, ...]:
    """Return every part that the file weighs, in the model's order, cut parts in one piece."""
    solids, known = solids_measured(measurements), set(weighable(p))
    gathered: dict[str, list[MassEntry]] = {}
    for line in of_parts(p, solids):
        gathered.setdefault(scale_name(solids[line.name], known), []).append(line)
    return tuple(_piece(name, lines) for name, lines in gathered.items())


def to_weigh(p: Parameters, measurements: Sequence[Measurement]) -> tuple[ScalePiece, ...]:
    """Return the parts whose mass was computed and that no scales have seen.

    None where the file has no [[mass]].
    """
    if not p.mass:
        return ()
    return tuple(piece for piece in scale_pieces(p, measurements) if not piece.weighed)


def scale_name(figures: SolidFigures, known: set[str]) -> str:
    """Return what a file may call the whole that a part belongs to, with its hand where it has.

    `known` are all names by which it may weigh something.
    """
    hand = hand_of(figures.name)
    own = [name for name in names_of(figures) if name in known]
    handed = [name for name in own if name.endswith(hand)]
    return next(iter((*handed, *own)), figures.name)


def _piece(name: str, lines: Sequence[MassEntry]) -> ScalePiece:
    known = [line.worked_out for line in lines if line.worked_out is not None]
    return ScalePiece(
        name,
        tuple(line.name for line in lines),
        together([line.body for line in lines]),
        sum(line.band for line in lines),
        "; ".join(_told_once(line.how for line in lines)),
        "; ".join(_told_once(line.source for line in lines)),
        any(line.how.startswith("weighed") for line in lines),
        sum(known) if known else None,
    )


def _told_once(words: Iterator[str]) -> dict[str, None]:
    return dict.fromkeys(words)
