"""The lines of a mass and balance sheet: what each thing weighs, where, how sure."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from geomgen.balance.masses.displaced import displaced, hand_of, host_of
from geomgen.balance.masses.inertia import RigidBody, solid_box, together
from geomgen.balance.masses.solid_figures import SolidFigures, less
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.masses import (
    POWERPLANT,
    SAFETY,
    USEFUL,
    MassItem,
    PartMass,
    Tank,
)
from geomgen.parameters.records.structure.wing import wing_joint_names
from geomgen.parameters.values.materials import MATERIALS
from geomgen.shops import laminate

STRUCTURE = "structure"
# How the mass of an item came about.
ITEM = "item"
# Families whose solid belongs to the powerplant where nothing says otherwise.
ENGINES = ("engine", "spinner")
# Families that stand inside others, and of which a file has several, each in pieces.
INLAID = ("spar", "rib", "joint_plate", "joint_pin")
# Families of which there is one on each side.
PAIRED = ("boom", "fin", "fitting", "leg", "scoop", "stringer", "wheel")
Solids = Mapping[str, SolidFigures]
# How far the scales may be off, as a fraction: own choice.
SCALES = 0.005
UNSAID = "given in the parameter file, no source given"
PER_LITRE = 1e-6


@dataclass(frozen=True)
class MassEntry:
    """One line of the sheet: a body [kg, mm], how far its mass may be off [kg], where it is from.

    `worked_out` is what the solid gives beside what was weighed [kg]. `empty` says whether it
    counts in the empty mass, `limited` whether the rule's empty mass counts it. Lines of one
    `cause` are off together: what it says of all of them is wrong, as of the pieces of one row.
    """

    name: str
    group: str
    body: RigidBody
    band: float
    how: str
    source: str
    empty: bool = True
    limited: bool = True
    worked_out: float | None = None
    cause: str = ""


def entries(p: Parameters, solids: Mapping[str, SolidFigures]) -> list[MassEntry]:
    """Return all lines of the empty machine and of items that are carried, in the file's order."""
    found = list(of_parts(p, solids))
    for item in p.items:
        place = _place(item, solids)
        found += _of_item(item, place) if place else ()
    found += [_unusable(tank) for tank in p.tanks if tank.unusable]
    return found


def row_of(p: Parameters, figures: SolidFigures) -> PartMass | None:
    """Return the row of [[mass]] that a part is weighed by: its own, its pair's, its family's."""
    named = {row.part: row for row in p.mass}
    return next((named[own] for own in names_of(figures) if own in named), None)


def names_of(figures: SolidFigures) -> tuple[str, ...]:
    """Return what a part may be called in the file: its name, without a hand, its family.

    A piece of a boom that a joint has cut is still of the boom of its hand.

    >>> body = RigidBody(1.0, (0.0, 0.0, 0.0))
    >>> names_of(SolidFigures("boom_aft_left", "boom", body, body, body, 0.0, (0.0, 0.0)))
    ('boom_aft_left', 'boom_aft', 'boom_left', 'boom')
    """
    part, family = figures.name, figures.family
    hand = hand_of(part)
    bare = part.removesuffix(hand)
    # Pieces of a spar and ribs of a row may be weighed by its name: all that theirs begins with.
    words = bare.split("_") if family in INLAID else []
    stems = ("_".join(words[:n]) for n in range(len(words) - 1, 1, -1))
    return tuple(dict.fromkeys((part, bare, *stems, f"{family}{hand}", family)))


def _share(p: Parameters, row: PartMass, figures: SolidFigures, every: Solids) -> float:
    """Return the share [1] of what was weighed that one piece has, by the pieces' volumes.

    A pair is weighed piece by piece; what joints have cut apart was one piece on the scales.
    """
    hand = hand_of(figures.name) if figures.family in PAIRED else ""
    pieces = [
        other.volume.mass
        for other in every.values()
        if row_of(p, other) is row and (not hand or hand_of(other.name) == hand)
    ]
    return figures.volume.mass / sum(pieces)


def of_parts(p: Parameters, solids: Mapping[str, SolidFigures]) -> Iterator[MassEntry]:
    """Yield the lines of what has a solid, each by the name of its part.

    What stands in a wing or tail that was weighed is in that weight, and what an item includes in
    the item's.
    """
    for figures in solids.values():
        row = row_of(p, figures)
        if in_another(p, figures, solids):
            continue
        if row is not None:
            share = _share(p, row, figures, solids)
            yield _of_part(p, row, figures, share, displaced(p, figures, solids))
            continue
        own = _own_density(p, figures)
        if own is not None:
            yield _of_sheet(figures, *own)
        elif figures.family == "canopy" and p.canopy is not None and p.canopy.material:
            glazing = PartMass(part=figures.name, material=p.canopy.material)
            yield _of_part(p, glazing, figures, 1.0, None)


def _own_density(p: Parameters, figures: SolidFigures) -> tuple[float, str] | None:
    """Return the density [kg/m3] that a part's own table gives, and its key; None without one."""
    if figures.name == "firewall":
        return p.firewall.density, "firewall.density"
    whole = figures.name.removesuffix(hand_of(figures.name))
    rows = [
        *((f"frame_{row.name}", row.density, f"frames.{i}") for i, row in enumerate(p.frames)),
        *((f"stringer_{r.name}", r.density, f"stringers.{i}") for i, r in enumerate(p.stringers)),
        *(
            (f"fitting_{row.name}", row.density, f"fittings.{i}")
            for i, row in enumerate(p.fittings)
        ),
    ]
    own = next(((density, f"{key}.density") for name, density, key in rows if name == whole), None)
    return own or _joint_density(p, whole)


def _joint_density(p: Parameters, part: str) -> tuple[float, str] | None:
    for i, spar in enumerate(p.spars):
        joint = spar.wing_joint
        if joint is not None:
            kinds = ("material", joint.material), ("pin_material", joint.pin_material)
            for name, (key, material) in zip(wing_joint_names(spar), kinds, strict=True):
                if part.startswith(f"{name}_"):
                    return MATERIALS[material].density, f"spars.{i}.wing_joint.{key}"
    return None


def _of_sheet(figures: SolidFigures, density: float, key: str) -> MassEntry:
    mass = density * figures.volume.mass
    how = f"full, {density:g} kg/m^3"
    body = figures.volume.scaled(mass)
    return MassEntry(figures.name, STRUCTURE, body, 0.05 * mass, how, key, cause=key)


def in_another(p: Parameters, figures: SolidFigures, every: Solids) -> bool:
    """Say whether a part is in another weight: an item's, or that of what it is built into."""
    included = any(figures.family in item.includes for item in p.items)
    return (included and row_of(p, figures) is None) or _weighed_with_host(p, figures, every)


def _weighed_with_host(p: Parameters, figures: SolidFigures, every: Solids) -> bool:
    """Say whether a part stands in what was weighed: it was glued or bolted in on the scales."""
    host, hand = host_of(p, figures.name), hand_of(figures.name)
    if host is None:
        return False
    # Of a pair, one may have been on the scales and not the other.
    paired = host in PAIRED
    own = [
        f for f in every.values() if f.family == host and (not paired or hand_of(f.name) == hand)
    ]
    return any((row := row_of(p, f)) is not None and row.weighed is not None for f in own)


def _of_part(
    p: Parameters,
    row: PartMass,
    figures: SolidFigures,
    share: float,
    gone: RigidBody | None,
) -> MassEntry:
    group = POWERPLANT if figures.family in ENGINES else STRUCTURE
    body, how, source = worked_out(p, row, figures, gone)
    name, cause = figures.name, f"mass, {row.part}"
    if row.weighed is None:
        return MassEntry(name, group, body, row.band * body.mass, how, source, cause=cause)
    mass = share * row.weighed
    return MassEntry(
        name,
        group,
        (body if body.mass else figures.volume).scaled(mass),
        min(row.band, SCALES) * mass,
        ("weighed" if share > 1.0 - 1e-9 else f"weighed in one piece, {share:.0%} of it")
        + (", with the spars and ribs in it" if gone is not None else ""),
        row.source or UNSAID,
        worked_out=body.mass or None,
        cause=cause,
    )


def worked_out(
    p: Parameters, row: PartMass, figures: SolidFigures, gone: RigidBody | None = None
) -> tuple[RigidBody, str, str]:
    """Return the body [kg, mm] that density, wall and skin make of a solid, how, and the source.

    `gone` [m3] is what spars and ribs take the place of.
    """
    density, source = _density(row)
    areal, thick, words, from_ = _skin(p, row)
    bodies, how = [], []
    if density is not None and row.wall is not None:
        # A joint cuts other parts back to a tube; its wall goes on.
        skin = figures.whole_skin
        bodies.append(skin.scaled(density * skin.mass * row.wall / 1000))
        how.append(f"wall {row.wall:g} mm, {density:g} kg/m^3 on {skin.mass:.4g} m^2")
    elif density is not None:
        core = max(figures.volume.mass - figures.skin.mass * thick / 1000, 0.0)
        foam = figures.volume.scaled(core)
        if gone is not None:
            foam = less(foam, gone)
        bodies.append(foam.scaled(density * foam.mass))
        how.append(f"{foam.mass * 1000:.4g} l at {density:g} kg/m^3{_less(gone)}")
    if areal:
        bodies.append(figures.skin.scaled(areal * figures.skin.mass))
        how.append(f"{words} {areal * 1000:.4g} g/m^2 on {figures.skin.mass:.4g} m^2")
    told = [text for text in (source if density is not None else "", from_) if text]
    return together(bodies), ", ".join(how), "; ".join(dict.fromkeys(told))


def _less(gone: RigidBody | None) -> str:
    if gone is None:
        return ""
    return f" ({gone.mass * 1000:.3g} l of spars and ribs taken off)"


def _density(row: PartMass) -> tuple[float | None, str]:
    if row.density is not None:
        return row.density, row.source or UNSAID
    if row.material is None:
        return None, ""
    usual = MATERIALS[row.material]
    return usual.density, f"{row.material}: {usual.source}"


def _skin(p: Parameters, row: PartMass) -> tuple[float, float, str, str]:
    """Return areal weight [kg/m2] and thickness [mm] of a part's skin, its name, its source."""
    if row.skin is not None:
        return row.skin, 0.0, "skin", row.source or UNSAID
    if not row.laminate or p.handoff is None or p.handoff.laminate is None:
        return 0.0, 0.0, "", ""
    own = p.handoff.laminate
    words = "handoff.laminate: cloth and resin by volume"
    return laminate.areal_weight(own), laminate.thickness(own), "laminate", words


def astray(p: Parameters, solids: Mapping[str, SolidFigures]) -> list[tuple[str, str]]:
    """Return the items whose part could not be measured, with why they have no place."""
    return [
        (item.name, f"the part {item.at} that it stands in could not be measured")
        for item in p.items
        if _place(item, solids) is None
    ]


def _of_item(item: MassItem, place: tuple[float, float, float]) -> Iterator[MassEntry]:
    spread = solid_box(item.mass, item.length, item.width, item.height)
    useful = item.group == USEFUL
    entry = MassEntry(
        item.name, item.group, RigidBody(item.mass, place, spread), item.band, ITEM,
        item.source or UNSAID, not useful, item.group != SAFETY, cause=f"items, {item.name}",
    )  # fmt: skip
    yield replace(entry, name=f"{item.name}, right") if item.mirrored else entry
    if item.mirrored:
        yield replace(entry, name=f"{item.name}, left", body=entry.body.on_the_left())


def _place(item: MassItem, solids: Mapping[str, SolidFigures]) -> tuple[float, float, float] | None:
    """Return where an item stands [mm]; None where its part could not be measured."""
    if item.at is None:
        assert item.station is not None
        assert item.waterline is not None
        return (item.station, item.buttock_line, item.waterline)
    own = [s for s in solids.values() if item.at in names_of(s)]
    return together([s.volume for s in own]).centre if own else None


def _unusable(tank: Tank) -> MassEntry:
    low = at_level(tank, 0.0)
    mass = PER_LITRE * tank.unusable * tank.density / 1000
    how = f"{tank.unusable * PER_LITRE:.3g} l at {tank.density:g} kg/m^3"
    return MassEntry(
        f"unusable fuel, {tank.name}", "systems", RigidBody(mass, low), 0.05 * mass, how,
        "tanks.unusable",
    )  # fmt: skip


def at_level(tank: Tank, share: float) -> tuple[float, float, float]:
    """Return the centre of a tank's fuel [mm] at a share [1] of full, between its two places."""
    assert tank.station is not None
    assert tank.waterline is not None
    x, z = tank.station, tank.waterline
    low_x = x if tank.low_station is None else tank.low_station
    low_z = z if tank.low_waterline is None else tank.low_waterline
    return (low_x + share * (x - low_x), tank.buttock_line, low_z + share * (z - low_z))
