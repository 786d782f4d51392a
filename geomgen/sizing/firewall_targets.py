"""Targets of the firewall: what it is made of, how thin, how well it fills the hull, its mass."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from geomgen import units
from geomgen.sizing.declaring import Group, declared, to_read
from geomgen.sizing.formulas import firewall
from geomgen.sizing.formulas.limits import limit
from geomgen.sizing.target import Conversion, Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters

FILL = (0.97, 1.0)
NO_THICKNESS = "{} is not on the list of 14 CFR 23.1191(h): no thickness of it is accepted"


SHEET = Group("FIREWALL")


@declared(SHEET, {"firewall.area": "Section of the sheet. Limit: your own, rules.firewall_area."})
def _area(p: "Parameters") -> Iterator[Target]:
    if p.rules.firewall_area is None:
        yield Target("firewall.area", "area of the sheet", "none", "mm2", severity="info")
        return
    own, spread = limit(p.rules.firewall_area), limit(p.rules.firewall_area_band)
    yield Target(
        "firewall.area",
        "area of the sheet",
        "between",
        "mm2",
        low=own.value * (1 - spread.value),
        high=own.value * (1 + spread.value),
        formula="rules.firewall_area x (1 +/- rules.firewall_area_band)",
        inputs=(
            ("area asked for", units.both(own.value, "area")),
            ("its band", f"{spread.value:g}"),
        ),
        source=own.source,
    )


@declared(
    SHEET,
    {
        "firewall.fill": "Share of the hull's clear section, all holes taken out. Limit: 0.97 (own "
        "choice)."
    },
)
def _fill(p: "Parameters") -> Iterator[Target]:
    yield Target(
        "firewall.fill",
        "sheet over the clear section of the hull",
        "between",
        "1",
        low=FILL[0],
        high=FILL[1],
        formula="measured sheet, all holes taken out / measured clear section of the hull",
        source="own choice: a sheet that fills the hull but for a sealant's gap and small holes",
    )


@declared(
    SHEET,
    {
        "firewall.open_holes, firewall.astray_fittings": "Holes of the sheet that no fitting of "
        "the file covers; fittings that stand in no hole of the sheet, or not square to it within "
        "5 deg. That a fitting closes its hole is taken from the file: no fitting is drawn. Limit: "
        "none of either (own choice)."
    },
)
def _holes(p: "Parameters") -> tuple[Target, ...]:
    source = "own choice: no opening stays open towards the engine"
    return (
        Target(
            "firewall.open_holes", "holes in the firewall that no fitting closes", "at most",
            "mm2", high=0.0, formula="each hole has a fitting that covers it", source=source,
        ),
        Target(
            "firewall.astray_fittings", "fittings that stand in no hole of the firewall", "at most",
            "1", high=0.0, formula="each of firewall.penetrations is a hole in the sheet",
            source=source,
        ),
    )  # fmt: skip


@declared(
    SHEET,
    {
        "firewall.edge_gap": "The widest slit to the hull. Limit: what the sealant fills, "
        "rules.firewall_gap."
    },
)
def _gap(p: "Parameters") -> Iterator[Target]:
    own = limit(p.rules.firewall_gap)
    yield Target(
        "firewall.edge_gap",
        "gap between the firewall's edge and the hull",
        "at most",
        "mm",
        high=own.value,
        formula="rules.firewall_gap",
        source=own.source,
    )


@declared(
    SHEET,
    {
        "firewall.material, firewall.thickness, firewall.fittings": "Sheet and fittings. Limit: "
        "14 CFR 23.1191(h), before Amdt 23-64."
    },
)
def _made_of(p: "Parameters") -> tuple[Target, ...]:
    fittings = (_fittings(p),) if p.firewall.penetrations else ()
    return (_material(p), *fittings, _thickness(p))


def _material(p: "Parameters") -> Target:
    notices = {
        "mild steel": ("mild steel has to be coated or otherwise protected against corrosion",),
        "aluminium": (
            "aluminium is never accepted for a firewall: it melts in the flame that the sheet has "
            "to hold back",
        ),
    }
    return Target(
        "firewall.material",
        "material of the firewall, as written",
        "one of",
        "",
        formula="firewall.material is on the list",
        source=firewall.SOURCE,
        written_word=p.firewall.material,
        allowed_words=firewall.permitted_materials(),
        notices=notices.get(p.firewall.material, ()),
    )


def _fittings(p: "Parameters") -> Target:
    holes = p.firewall.penetrations
    return Target(
        "firewall.fittings",
        "metal of the fittings through the firewall, as written",
        "one of",
        "",
        formula="each firewall.penetrations fitting is of steel or copper alloy",
        inputs=tuple((hole.use, hole.fitting) for hole in holes),
        source=firewall.SOURCE,
        written_word=", ".join(hole.fitting for hole in holes),
        allowed_words=firewall.permitted_fittings(),
    )


def _thickness(p: "Parameters") -> Target:
    least = firewall.least_thickness(p.firewall.material)
    what = "thickness of the sheet"
    if least is None:
        notice = NO_THICKNESS.format(p.firewall.material)
        return Target(
            "firewall.thickness", what, "none", "mm", source=firewall.SOURCE, notices=(notice,)
        )
    return Target(
        "firewall.thickness",
        what,
        "at least",
        "mm",
        low=least,
        formula=f"least thickness of {p.firewall.material} on the list",
        inputs=(("material", p.firewall.material), ("as drawn", f"{p.firewall.thickness:g} mm")),
        source=firewall.SOURCE,
    )


def _mass_of_volume(p: "Parameters") -> Conversion:
    density = p.firewall.density
    return Conversion(
        "firewall.volume",
        "mm3",
        "firewall.mass",
        "mass of the firewall",
        "kg",
        lambda volume: firewall.solid_mass(volume, density),
        f"measured volume x {density:g} kg/m^3",
    )


@declared(
    SHEET,
    {"firewall.mass": "Measured volume x density. Limit: your own, rules.firewall_mass."},
    _mass_of_volume,
)
def _mass(p: "Parameters") -> Iterator[Target]:
    what, formula = "mass of the firewall", "measured volume x firewall.density"
    inputs = (("density", units.both(p.firewall.density, "density")),)
    if p.rules.firewall_mass is None:
        notice = "no limit is set: rules.firewall_mass would set one"
        yield Target(
            "firewall.mass", what, "none", "kg", formula=formula, inputs=inputs, notices=(notice,)
        )
        return
    own = limit(p.rules.firewall_mass)
    yield Target(
        "firewall.mass",
        what,
        "at most",
        "kg",
        high=own.value,
        formula=formula,
        inputs=inputs,
        source=own.source,
    )


FIREWALL = (
    to_read(SHEET, "firewall.volume", "mm3"),
    *(_area, _fill, _holes, _gap, _made_of, _mass),
    to_read(
        SHEET,
        "firewall.opening_area",
        "mm2",
        "Its holes together; a figure to read, without a limit.",
    ),
    to_read(SHEET, "firewall.clear_section", "mm2"),
)
