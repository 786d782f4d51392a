"""The question about the firewall: all of it is measured in one go."""

from dataclasses import replace

from geomgen.kernel.plain import Model
from geomgen.measurements.firewall.sheet import HULL, firewall
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Bodies, of_families


def _firewall(model: Model, bodies: Bodies) -> list[Measurement]:
    parts = {name: body.solid for name, body in bodies.items()}
    return firewall(replace(model, parts=parts), bodies)


FIREWALL = of_families(
    "firewall",
    "firewall.area",
    "mm2",
    ("firewall", *HULL),
    _firewall,
    lambda model: (model.firewall_plane, model.firewall_seed, model.fittings, model.passages),
)
