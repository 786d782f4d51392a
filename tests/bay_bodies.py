"""An engine bay of plain bodies, every size of which is a round figure [mm]."""

from geomgen.kernel.brep.primitives import box, cylinder, mirrored
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis, Opening, Passage, Plane
from geomgen.kernel.solids.booleans import cut
from geomgen.verdicts.check import Check, Limits

X, AXIS = (1.0, 0.0, 0.0), 500.0


def tube(start: float, end: float, outer: float, inner: float, name: str):
    """Return a tube about the thrust line."""
    rod = cylinder((start, 0.0, AXIS), X, outer, end - start)
    bore = cylinder((start - 10.0, 0.0, AXIS), X, inner, end - start + 20.0)
    return cut(rod, [bore], name, "bore")


def scoop(aft: float = 0.0, outward: float = 0.0):
    """Return the right scoop: a duct 90 by 110, its walls 5 thick, its mouth at STA 1000."""
    y, x = 302.0 + outward, 1000.0 + aft
    outer = box((x, y, 440.0), (x + 200.0, y + 100.0, 560.0))
    inner = box((x - 10.0, y + 5.0, 445.0), (x + 210.0, y + 95.0, 555.0))
    return cut(outer, [inner], "scoop", "duct")


def passage(side: float) -> Passage:
    """Return the passage of the scoop on a side."""

    def across(name: str, x: float) -> Opening:
        seed = (x, side * 352.0, AXIS)
        return Opening(name, Plane(seed, X), seed, 80.0)

    hand = "right" if side > 0 else "left"
    return Passage(
        f"scoop_{hand}",
        across(f"scoop_{hand}", 1005.0),
        (across(f"scoop_{hand} throat 1", 1100.0),),
        (1250.0, side * 200.0, AXIS),
        Plane((1300.0, 0.0, AXIS), X),
    )


def bay_model(right=None) -> Model:
    """Return the model; `right` stands for the right scoop."""
    parts = {
        "pod": tube(0.0, 2000.0, 300.0, 296.0, "pod"),
        "exit": tube(2000.0, 2040.0, 110.0, 106.0, "exit"),
        "tail_fairing": cylinder((1800.0, 0.0, AXIS), X, 80.0, 260.0),
        "scoop_right": scoop() if right is None else right,
        "scoop_left": mirrored(scoop()),
        "firewall": cylinder((1000.0, 0.0, AXIS), X, 296.0, 1.0),
        "engine": box((1300.0, -100.0, 400.0), (1600.0, 100.0, 620.0)),
        "prop_disc": cylinder((2080.0, 0.0, AXIS), X, 650.0, 100.0),
        "spinner": cylinder((2080.0, 0.0, AXIS), X, 80.0, 150.0),
        "wheel_nose": cylinder((200.0, -50.0, 100.0), (0.0, 1.0, 0.0), 90.0, 100.0),
    }
    families = {name: name.split("_")[0] for name in parts}
    families |= {"tail_fairing": "tail_fairing", "prop_disc": "prop_disc"}
    rim = (2039.0, 95.0, AXIS)
    return Model(
        parts,
        families,
        thrust_line=Axis((2130.0, 0.0, AXIS), X),
        passages=[passage(1.0), passage(-1.0)],
        exits=[Opening("exit", Plane(rim, X), rim, 300.0)],
        firewall_plane=Plane((1000.5, 0.0, AXIS), X),
        firewall_seed=(1000.5, 0.0, AXIS),
    )


def check(id_: str, measured: float, unit: str, limit: str, verdict: str, part: str = "") -> Check:
    """Return a check with its outcome as given."""
    return Check(id_, part, id_, measured, unit, Limits(limit, low=1.0), "at least", None, verdict)
