"""What stands on every sheet for the foam bench: material, datum, way up, tolerance, use."""

from geomgen.parameters.records.shops import FoamStations
from geomgen.shops.figures import plain

# How near the saw keeps to a line [mm]: own choice, for a bench with a hot wire or a fine saw.
SAWN = 0.5


def bench_notes(foam: FoamStations, material: str = "") -> tuple[str, ...]:
    """Return the notes that all sheets of a stack share; `material` where it is not the foam."""
    slab = (
        f"foam of {plain(foam.density)} kg/m³, sheets {plain(foam.slab)} mm thick, laid across the "
        "body; it has no grain"
    )
    return (
        f"material: {material or slab}",
        "datum: STA aft, BL from the centre plane, WL up, of the aircraft; seen from aft, arrow up",
        f"tolerance: saw within {SAWN:g} mm outside the line, then sand to it; the print itself by "
        "its 100 mm square",
        "for the foam bench: cutting and stacking the pod's foam; nothing else is cut by it",
    )
