"""What is printed on the template of a core, and what stands in its title block."""

from geomgen.parameters.records.shops import Cores
from geomgen.shops.hotwire_cores.pieces import CorePiece
from geomgen.shops.hotwire_cores.sections import CoreSection

ENDS = ("root", "tip")


def template_words(
    piece: CorePiece, end: int, panels: int, shop: Cores, skin: float
) -> tuple[str, ...]:
    """Return the lines on a template: which it is, where it stands, how it was worked out.

    `end` is 0 for the root, 1 for the tip; `panels` is how many the wing has, `skin` [mm] what was
    taken off.
    """
    section, ends = piece.ends[end], piece.ends
    washout = round(ends[0].angle - ends[1].angle, 2) + 0.0
    x, _, z = section.nose
    of = "panel" if piece.of == 1 else "piece"
    return (
        _head(piece, end, panels),
        f"BL {abs(section.buttock_line):.1f}, chord {section.chord:.1f} mm",
        f"leading edge (x = 0) at STA {x:.1f}, WL {z:.1f}",
        f"chord {_updown(section.angle)}",
        f"washout of this {of} {washout:+.2f} deg (plus: tip nose-down)",
        f"kerf {shop.kerf:.2f} mm: edge {shop.kerf / 2:.2f} mm outside the core",
        f"skin {skin:.3f} mm taken off" if skin else "no skin taken off",
        _set(ends),
        foam_between(piece),
    )


def _head(piece: CorePiece, end: int, panels: int) -> str:
    rows = ["WING CORE", f"PANEL {piece.panel.number} OF {panels}"]
    if piece.of > 1:
        rows.append(f"PIECE {piece.number} OF {piece.of}")
    return " - ".join([*rows, ENDS[end].upper(), piece.panel.hand.upper()])


def foam_between(piece: CorePiece) -> str:
    """Return how long the foam between both templates is, square across and along both edges."""
    low, high = piece.span
    return (
        f"foam between the templates {high - low:.1f} mm square across, "
        f"{piece.blank.leading:.1f} mm along LE, {piece.blank.trailing:.1f} mm along TE"
    )


def _updown(angle: float) -> str:
    if abs(angle) < 0.005:
        return "level in flight"
    return f"{abs(angle):.2f} deg nose {'up' if angle > 0 else 'down'} in flight"


def _set(ends: tuple[CoreSection, CoreSection]) -> str:
    """Return how the tip template stands to the root template."""
    (x0, _, z0), (x1, _, z1) = ends[0].nose, ends[1].nose
    dx, dz = x1 - x0, z1 - z0
    return (
        f"tip's leading edge {abs(dx):.1f} mm {'aft of' if dx >= 0 else 'ahead of'} and "
        f"{abs(dz):.1f} mm {'above' if dz >= 0 else 'below'} the root's"
    )


def template_notes(piece: CorePiece, end: int, shop: Cores) -> tuple[str, ...]:
    """Return the notes in a template's title block."""
    rows = [
        "For cutting this foam core with a hot wire, and for nothing else.",
        "Datum: LE at x = 0, chord along x. TOP is up in flight. Outline true within 0.2 mm (own "
        "choice).",
        "Glue the print onto sheet that the wire does not burn, its face out of the foam: root and "
        "tip are both read from outside.",
        "Both templates stand upright across the span, their level lines parallel.",
        "Call the numbers: the wire passes the same tick at the same time at both ends.",
        "Lead-in and lead-out: trim off the foam beyond LE and TE there.",
    ]
    if shop.caps:
        rows.append("Troughs (layer CAP) are a second pass, after the outline.")
    if shop.spar_slots:
        rows.append("Slots for webs (layer CAP) part the core: glue nose and tail to the web.")
    rows += [
        f"{rib.name} stands in this core, BL {rib.low:g} to {rib.high:g} mm: cut the foam there."
        for rib in piece.within
    ]
    beside, rib = piece.number + (1 if end else -1), piece.ribs[end]
    if rib and 1 <= beside <= piece.of:
        rows.append(f"Here {rib} stands against the foam; beyond it piece {beside} begins.")
    elif rib:
        rows.append(f"Here {rib} stands against the foam.")
    elif 1 <= beside <= piece.of:
        rows.append(
            f"Here piece {beside} joins on: its {ENDS[1 - end]} template has the same outline, "
            "seen from the other side."
        )
    return tuple(rows)
