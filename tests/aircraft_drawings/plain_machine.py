"""A twin-boom pusher of boxes and bodies of revolution, whose every measure is written down."""

from geomgen.kernel.brep.primitives import box, cylinder, disc, revolved, wheel
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis, Ground, Plane

THRUST = Axis((3100.0, 0.0, 800.0), (1.0, 0.0, 0.0))
POD = [(0.0, 0.0), (400.0, 300.0), (2800.0, 200.0), (2800.0, 0.0)]
MEASURES = {
    "overall length": 4900.0,
    "pod length": 2800.0,
    "pod height": 600.0,
    "pod breadth": 600.0,
    "firewall station": 1790.0,
    "trailing edge to disc": 3050.0 - 2300.0,
    "wheel base": 1500.0,
    "height over the ground": 1900.0 - 20.0,
    "span": 8000.0,
    "boom spacing": 1600.0,
    "tailplane span": 1500.0,
    "swept diameter": 1300.0,
    "track": 1400.0,
}


def machine(*without: str) -> Model:
    """Return the plain machine, less the parts of some families."""
    parts = {
        "pod": ("pod", revolved(POD, Axis((0.0, 0.0, 800.0), (1.0, 0.0, 0.0)))),
        "wing": ("wing", box((1300.0, -4000.0, 1250.0), (2300.0, 4000.0, 1350.0))),
        "firewall": ("firewall", box((1790.0, -150.0, 650.0), (1800.0, 150.0, 950.0))),
        "boom_left": ("boom", cylinder((1700.0, -800.0, 1300.0), (1, 0, 0), 45.0, 3200.0)),
        "boom_right": ("boom", cylinder((1700.0, 800.0, 1300.0), (1, 0, 0), 45.0, 3200.0)),
        "tailplane": ("tailplane", box((4400.0, -750.0, 1290.0), (4800.0, 750.0, 1310.0))),
        "fin_left": ("fin", box((4300.0, -810.0, 1340.0), (4800.0, -790.0, 1900.0))),
        "fin_right": ("fin", box((4300.0, 790.0, 1340.0), (4800.0, 810.0, 1900.0))),
        "prop_disc": ("prop_disc", disc(THRUST, -50.0, 50.0, 650.0)),
        "wheel_left": ("wheel", wheel((1900.0, -700.0, 180.0), 360.0, 90.0)),
        "wheel_right": ("wheel", wheel((1900.0, 700.0, 180.0), 360.0, 90.0)),
        "wheel_nose": ("wheel", wheel((400.0, 0.0, 170.0), 300.0, 80.0)),
    }
    kept = {name: row for name, row in parts.items() if row[0] not in without}
    model = Model(
        {name: solid for name, (_, solid) in kept.items()},
        {name: family for name, (family, _) in kept.items()},
    )
    if "prop_disc" not in without:
        model.thrust_line = THRUST
    if "wheel" not in without:
        model.grounds = [Ground("static", Plane((1900.0, 700.0, 20.0), (0.0, 0.0, 1.0)))]
    if "firewall" not in without:
        model.firewall_plane = Plane((1790.0, 0.0, 800.0), (1.0, 0.0, 0.0))
    return model
