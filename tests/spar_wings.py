"""Wings of plain shape with spars and ribs, and their solids as bodies."""

from functools import cache
from pathlib import Path

from geomgen.kernel.interference.meeting import body_of
from geomgen.kernel.meshing.proven import meshed
from geomgen.parameters import load
from geomgen.parameters.records.structure.wing import RibRow, Spar

CONFIGS = Path(__file__).parents[1] / "configs"
CHORD, HALF, EDGE = 1200.0, 4500.0, 2.0
# One straight panel of one symmetrical aerofoil.
PLAIN = (
    "wing.incidence=0 deg",
    *(f'wing.sections.{i}.aerofoil="NACA 0012"' for i in range(3)),
    *(f"wing.sections.{i}.chord=1200 mm" for i in range(3)),
    *(f"wing.sections.{i}.{key}=0 deg" for i in (1, 2) for key in ("dihedral", "sweep")),
    "wing.sections.2.washout=0 deg",
)
BENT = (*PLAIN, "wing.sections.1.dihedral=4 deg", "wing.sections.2.dihedral=9 deg",
        "wing.sections.2.sweep=15 deg", "wing.sections.2.washout=6 deg")  # fmt: skip
MAIN = {
    "name": "main", "kind": "box", "chord_share": 0.3, "skin": "2 mm", "end": "4000 mm",
    "width": "60 mm", "cap_height": "12 mm", "web": "3 mm",
}  # fmt: skip
ROW = {"name": "a", "at": ["500 mm"], "thickness": "4 mm", "skin": "2 mm"}


def planned(overrides=PLAIN, spars=(), ribs=()):
    """Return the example with a plain wing, and spars and ribs as tables over MAIN and ROW."""
    return _read(tuple(overrides)).model_copy(
        update={
            "spars": tuple(spar(**one) for one in spars),
            "ribs": tuple(RibRow(**{**ROW, **one}) for one in ribs),
        }
    )


@cache
def _read(overrides):
    return load(CONFIGS / "saltmarsh.toml", list(overrides))


def spar(**changed):
    """Return a spar as MAIN; what is None is left out."""
    table = {**MAIN, **changed}
    return Spar(**{key: value for key, value in table.items() if value is not None})


def body(solid, tolerance=0.1):
    """Return a solid with its proven mesh."""
    made = meshed(solid, tolerance)
    return body_of(solid, made.mesh, made.deviation.largest)


def bodies(pieces, tolerance=0.1):
    """Return named solids with their meshes, by name."""
    return {piece.name: body(piece.solid, tolerance) for piece in pieces}
