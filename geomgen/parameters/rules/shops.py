"""Rules between what the shops are asked for and the aircraft: a skin that is due, parts that are.

Each rule yields clashes, as data.
"""

from collections.abc import Iterator

from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import JOGGLED, TABS, SheetShop
from geomgen.parameters.rules.clash import FieldClash, mm

NEEDS_SKIN = ("core_minus_skin", "male_mould")
TIP = "wing_tip"
# The thickest dowel as a share of the width of its flange: own choice.
WIDEST_DOWEL = 0.5
# Of rivets, in diameters: from the centre to an edge, from one to the next (common practice).
EDGE, PITCH = 2.0, 3.0


def mouldable(p: Parameters) -> list[str]:
    """Return the names of the parts of a file that a mould can be asked for."""
    names = ["pod", *(f"scoop_{scoop.name}" for scoop in p.scoops), TIP]
    if p.exit:
        names.append("exit")
        if p.exit.tail_fairing:
            names.append("tail_fairing")
    return names


def moulds_have_their_part(p: Parameters) -> Iterator[FieldClash]:
    """Require that every mould is of a part that the file has, and that the tip has its place."""
    for i, mould in enumerate(p.handoff.moulds if p.handoff else ()):
        path: Path = ("handoff", "moulds", i)
        known = mouldable(p)
        if mould.part not in known:
            yield FieldClash((*path, "part"), "no such part to mould", mould.part, ", ".join(known))
        half_span = p.wing.sections[-1].buttock_line
        at = mould.from_buttock_line
        if mould.part == TIP and (at is None or not 0.0 < at < half_span):
            yield FieldClash(
                (*path, "from_buttock_line"),
                "where the wing tip begins",
                "nothing" if at is None else mm(at),
                f"between 0 mm and {mm(half_span)}",
            )
        if mould.part != TIP and at is not None:
            yield FieldClash(
                (*path, "from_buttock_line"), "only a wing_tip has it", mm(at), "left out"
            )


def skin_is_known(p: Parameters) -> Iterator[FieldClash]:
    """Require a laminate wherever its thickness is to be taken off."""
    h = p.handoff
    if h is None or h.laminate is not None:
        return
    wanting: list[tuple[Path, str]] = [
        (("handoff", "moulds", i, "treatment"), mould.treatment)
        for i, mould in enumerate(h.moulds)
        if mould.treatment in NEEDS_SKIN
    ]
    for name, table in (("foam", h.foam), ("cores", h.cores)):
        if table is not None and table.inset_skin:
            wanting.append((("handoff", name, "inset_skin"), "true"))
    for path, written in wanting:
        yield FieldClash(
            path,
            "the skin is to be taken off, but no laminate says how thick it is",
            written,
            "with a [handoff.laminate] table",
            "add [handoff.laminate] with its plies, or ask for the finished size",
        )


def stack_runs_aft(p: Parameters) -> Iterator[FieldClash]:
    """Require that the foam stack ends behind its start."""
    foam = p.handoff.foam if p.handoff else None
    if foam and foam.start is not None and foam.end is not None and foam.end <= foam.start:
        yield FieldClash(
            ("handoff", "foam", "end"),
            "the stack ends before it starts",
            mm(foam.end),
            f"more than {mm(foam.start)}",
            by=(("handoff", "foam", "start"),),
        )


def jigs_have_frames(p: Parameters) -> Iterator[FieldClash]:
    """Require frames where a jig is asked for to set them up in."""
    if p.handoff and p.handoff.ply and p.handoff.ply.jig and not p.frames:
        yield FieldClash(
            ("handoff", "ply", "jig"),
            "a jig to set frames up in, and no frames",
            "no [[frames]]",
            "with at least one of [[frames]]",
            "describe the frames, or leave the jig out",
        )


def stock_has_one_price(p: Parameters) -> Iterator[FieldClash]:
    """Require that no stock has two prices, of which one would be taken in silence."""
    seen = set()
    for i, row in enumerate(p.handoff.prices if p.handoff else ()):
        if row.stock in seen:
            path: Path = ("handoff", "prices", i, "stock")
            yield FieldClash(path, "named twice", row.stock, "one price a stock")
        seen.add(row.stock)


def flanges_hold_their_dowels(p: Parameters) -> Iterator[FieldClash]:
    """Require a flange that leaves some of itself on both sides of its dowels."""
    for i, mould in enumerate(p.handoff.moulds if p.handoff else ()):
        widest = WIDEST_DOWEL * mould.flange
        if mould.dowel_diameter > widest:
            yield FieldClash(
                ("handoff", "moulds", i, "dowel_diameter"),
                f"a flange {mm(mould.flange)} wide does not hold such dowels",
                mm(mould.dowel_diameter),
                f"at most {mm(widest)}",
                f"a flange of {mm(mould.dowel_diameter / WIDEST_DOWEL)} would do",
            )


def sheets_have_room(p: Parameters) -> Iterator[FieldClash]:
    """Require of sheets to cut from that something is left between what is kept to their edges."""
    h = p.handoff
    for name, key, table in (
        ("ply", "gap", h.ply if h else None),
        ("foam", "margin", h.foam if h else None),
    ):
        if table is None:
            continue
        kept = getattr(table, key)
        side = min(table.sheet_length, table.sheet_width)
        if 2 * kept >= side:
            sides: tuple[Path, ...] = tuple(
                ("handoff", name, of) for of in ("sheet_length", "sheet_width")
            )
            yield FieldClash(
                ("handoff", name, key),
                f"kept to both edges, it leaves nothing of a sheet {mm(side)} wide",
                mm(kept),
                f"less than {mm(side / 2)}",
                by=sides,
            )


def ring_holds_its_rivets(p: Parameters) -> Iterator[FieldClash]:
    """Require of a flange that is riveted on: that there is one, and room for its rivets."""
    shop = p.handoff.sheet if p.handoff else None
    if shop is None or shop.flange == TABS:
        return
    if p.firewall.flange == 0.0:
        yield FieldClash(
            ("handoff", "sheet", "flange"),
            "the firewall has no flange to be made so",
            shop.flange,
            f"{TABS}, or a firewall.flange",
        )
    least = least_ring(p.firewall.thickness, shop)
    rivet = f"rivets of {mm(shop.rivet_diameter)}"
    rows = [
        ("ring_width", shop.ring_width, least, f"no room for {rivet} with {EDGE:g} diameters to "
         "each edge, beside the bend and its relief cuts"),
        ("rivet_pitch", shop.rivet_pitch, PITCH * shop.rivet_diameter,
         f"{rivet} stand {PITCH:g} diameters apart or more"),
    ]  # fmt: skip
    if shop.flange == JOGGLED:
        rows.append(
            ("lap", shop.lap, 2 * EDGE * shop.rivet_diameter,
             f"no room for {rivet} with {EDGE:g} diameters to each end of the lap")
        )  # fmt: skip
    for key, value, low, problem in rows:
        if value is not None and value < low:
            path: Path = ("handoff", "sheet", key)
            by: tuple[Path, ...] = (("handoff", "sheet", "rivet_diameter"),)
            yield FieldClash(path, problem, mm(value), f"at least {mm(low)}", by=by)


def least_ring(thickness: float, shop: SheetShop) -> float:
    """Return the least width [mm] of a ring's leg on a sheet of a thickness [mm], bent by 90 deg.

    From the flange inward: the bend, a relief cut's root, two edge distances.

    >>> shop = SheetShop.model_validate({"relief_width": "3 mm", "rivet_diameter": "3 mm"})
    >>> least_ring(0.5, shop)
    15.0
    """
    root = max(thickness, shop.relief_width / 2)
    return shop.inside_radius + thickness + root + 2 * EDGE * shop.rivet_diameter


RULES = (
    sheets_have_room,
    ring_holds_its_rivets,
    moulds_have_their_part,
    skin_is_known,
    stack_runs_aft,
    jigs_have_frames,
    stock_has_one_price,
    flanges_hold_their_dowels,
)
