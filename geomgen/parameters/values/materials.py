"""What parts are made of: densities of plain materials, with where each figure comes from."""

from typing import NamedTuple

HANDBOOK = "usual handbook figure, from memory: weigh a piece of yours"
BY_NAME = "its nominal density"
DATA_SHEET = "makers' data sheets, by ISO 1183: weigh a piece of yours"
LAID_UP = "worked out: fibre and resin by volume, hand lay-up (own choice of the share of fibre)"


class PlainMaterial(NamedTuple):
    """A density [kg/m3] and its source."""

    density: float
    source: str


MATERIALS: dict[str, PlainMaterial] = {
    "spruce": PlainMaterial(430.0, HANDBOOK),
    "fir": PlainMaterial(530.0, HANDBOOK),
    "birch plywood": PlainMaterial(680.0, HANDBOOK),
    "okoume plywood": PlainMaterial(480.0, HANDBOOK),
    "aluminium alloy": PlainMaterial(2700.0, HANDBOOK),
    "steel": PlainMaterial(7850.0, HANDBOOK),
    "stainless steel": PlainMaterial(8000.0, HANDBOOK),
    "titanium": PlainMaterial(4430.0, HANDBOOK),
    "polystyrene foam": PlainMaterial(32.0, HANDBOOK),
    "PVC foam 60": PlainMaterial(60.0, BY_NAME),
    "PVC foam 80": PlainMaterial(80.0, BY_NAME),
    # 0.35 of 2560 and 0.65 of 1150 kg/m^3; 0.40 of 1790 and 0.60 of 1150 kg/m^3.
    "glass laminate": PlainMaterial(1643.5, LAID_UP),
    "carbon laminate": PlainMaterial(1406.0, LAID_UP),
    "acrylic": PlainMaterial(1190.0, DATA_SHEET),
    "polycarbonate": PlainMaterial(1200.0, DATA_SHEET),
}
METALS = ("aluminium alloy", "steel", "stainless steel", "titanium")
# Clear sheet that a canopy may be of.
GLAZING = ("acrylic", "polycarbonate")
