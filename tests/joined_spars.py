"""A spar with a joint where the outer wing comes off, in a plain wing, and its solids."""

from functools import cache

from spar_wings import PLAIN, planned

from geomgen.kernel.model import Model
from geomgen.shapes.assembly.places import _inlays
from geomgen.shapes.wing_structure.published import inner_sheets
from geomgen.shapes.wing_structure.ribs import ribs
from geomgen.shapes.wing_structure.wing_joints import joint_feet, pin_joints, spars_and_joints

JOINT = {
    "at": "2500 mm", "gap": "2 mm", "plate_thickness": "4 mm", "plate_depth": "60 mm",
    "plate_length": "200 mm", "overlap": "90 mm", "plate_gap": "0.3 mm", "pin_diameter": "10 mm",
    "pin_clearance": "0.1 mm", "pin_pitch": "30 mm", "pin_pitch_along": "110 mm",
    "pin_ends": "5 mm",
}  # fmt: skip
BESIDE = {"at": [], "beside_joint": True}
# Straight swept panels with dihedral, of one chord and without twist.
SLOPED = (
    *PLAIN,
    *(f"wing.sections.{i}.dihedral=5 deg" for i in (1, 2)),
    *(f"wing.sections.{i}.sweep=10 deg" for i in (1, 2)),
)


def jointed(changed=(), overrides=PLAIN, spars=(), rows=({},), **spar):
    """Return the example with one jointed spar; what is None in `changed` is left out."""
    table = {k: v for k, v in {**JOINT, **dict(changed)}.items() if v is not None}
    whole = [{"wing_joint": table, **spar}, *spars]
    return planned(overrides, whole, [{**BESIDE, **row} for row in rows])


@cache
def sloped():
    """Return the jointed spar in a swept wing with dihedral, and its model."""
    p = jointed(overrides=SLOPED)
    return p, model_of(p)


@cache
def plain():
    """Return the jointed spar of caps and a web in a plain wing, and its model."""
    p = jointed(kind="caps and web")
    return p, model_of(p)


def model_of(p):
    """Return the model of spars, joints and ribs, without the wing that they stand in."""
    made = [*spars_and_joints(p), *ribs(p)]
    return Model(
        parts={piece.name: piece.solid for piece in made},
        families={piece.name: piece.family for piece in made},
        sheets=inner_sheets(p), inlays=_inlays(p), bolted=joint_feet(p), pin_joints=pin_joints(p),
    )  # fmt: skip
