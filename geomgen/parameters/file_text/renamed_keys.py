"""Keys that had another name once: a file that still uses it is told the new one."""

from collections.abc import Sequence

Path = tuple[str | int, ...]
# Table and key as they were, key as it is; list tables stand without their rows.
RENAMED = {
    ("output", "chord_tolerance"): "mesh_tolerance",
    ("scoops", "around"): "clock_angle",
    ("scoops", "standoff"): "boundary_layer_gap",
    ("handoff", "cores", "tang"): "lead",
    ("handoff", "foam", "template"): "template_thickness",
    ("handoff", "laminate", "plies", "fibre_fraction"): "fibre_volume_fraction",
    ("handoff", "laminate", "plies", "areal_mass"): "areal_weight",
    ("propeller", "shake_radial"): "mount_travel_radial",
    ("propeller", "shake_axial"): "mount_travel_axial",
    ("exit", "joint"): "rim_station",
    ("wing", "sections", "airfoil"): "aerofoil",
    ("tailplane", "sections", "airfoil"): "aerofoil",
    ("fins", "sections", "airfoil"): "aerofoil",
    ("pylon", "airfoil"): "aerofoil",
}


def new_name(path: Sequence[str | int]) -> str | None:
    """Return the name that a key has now; None where it never had another.

    A row of a list may stand as its number or by its name.

    >>> new_name(("scoops", 0, "around")), new_name(("scoops", "cheek", "standoff"))
    ('clock_angle', 'boundary_layer_gap')
    >>> new_name(("pod", "wall"))
    """
    for old, new in RENAMED.items():
        if path[-1] != old[-1] or path[0] != old[0]:
            continue
        if [part for part in path if part in old] == list(old):
            return new
    return None
