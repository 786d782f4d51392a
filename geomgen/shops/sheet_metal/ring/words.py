"""What the sheet shop's drawings say of a ring: in the title block, in the table of the sheet."""

from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.rules.shops import EDGE
from geomgen.shops.sheet_metal.drawing.full_size import direction
from geomgen.shops.sheet_metal.ring.joggle import joggle_of
from geomgen.shops.sheet_metal.ring.rivet_line import HOLE, root_radius
from geomgen.shops.sheet_metal.ring.segments import RingFlange

Rows = list[tuple[str, ...]]


def joggle_words(ring: RingFlange) -> str:
    """Return what the bender has to do at a joggle; empty where the segments butt."""
    if ring.wish.lap is None:
        return ""
    made = joggle_of(ring.whole.bending)
    return (
        f"joggle {direction(ring.flat).lower()} by {made.step:g} mm over {made.run:.1f} mm, "
        f"{made.angle:.1f} deg each bend, {made.excess:.2f} mm longer flat"
    )


def ring_notes(p: Parameters, ring: RingFlange) -> tuple[str, ...]:
    """Return the lines of the title block of the segments' drawing."""
    assert p.handoff is not None
    assert p.handoff.sheet is not None
    shop, wish = p.handoff.sheet, ring.wish
    side = "aft" if ring.flat.sheet.frame.toward > 0 else "forward"
    bent = direction(ring.flat).lower()
    rows = (
        f"flange ring of the firewall, {len(ring.segments)} segments on the {side} face, seen from "
        "aft, flange up on this page; number 1 begins at the top, on to the left",
        f"bend {bent} on the BEND lines, the middle of each bend, inside radius "
        f"{shop.inside_radius:g} mm; angles from flat, after springback",
        joggle_words(ring),
        f"rivets {wish.rivet:g} mm, holes {wish.rivet + HOLE:.1f} mm, {EDGE:g} diameters from "
        "every edge; of steel or Monel",
        f"grain up and down on this page; cut and holes +-{shop.cut_tolerance:g} mm; bends "
        f"+{shop.bend_tolerance:g} -0 deg",
        "deburr before bending; rivet with fireproof sealant between ring and sheet; seal joints "
        "and relief cuts",
    )
    return tuple(row for row in rows if row)


def ring_rows(p: Parameters, ring: RingFlange) -> Rows:
    """Return the rows of the table of the sheet."""
    wish = ring.wish
    ends = f"{wish.gap:g} mm between two" if wish.lap is None else f"lap {wish.lap:g} mm"
    rows: Rows = [
        ("ring", f"{len(ring.segments)} segments, leg {wish.width:g} mm wide, {ends}"),
        ("rivets", f"{len(ring.rivets)} of {wish.rivet:g} mm, holes {wish.rivet + HOLE:.1f} mm, "
                   f"{wish.edge:g} mm from edges"),
    ]  # fmt: skip
    if wish.lap is not None:
        rows += [
            ("joggle", joggle_words(ring).removeprefix("joggle ")),
            ("corner radius", f"{root_radius(ring.whole.bending):g} mm"),
        ]
    return rows
