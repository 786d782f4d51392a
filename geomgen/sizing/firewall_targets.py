"""Targets of the firewall: what it is made of, how thin, how well it fills the hull, its mass."""

from geomgen import units
from geomgen.parameters.records.aircraft import Parameters
from geomgen.sizing import firewall
from geomgen.sizing.limits import limit
from geomgen.sizing.target import Target

FILL = (0.97, 1.0)
NO_THICKNESS = "{} is not on the list of 14 CFR 23.1191(h): no thickness of it is accepted"


def firewall_targets(p: Parameters) -> tuple[Target, ...]:
    """Return the firewall's targets."""
    fittings = (_fittings(p),) if p.firewall.penetrations else ()
    area = _area(p)
    return (
        *(() if area is None else (area,)),
        _fill(),
        *_holes(),
        _gap(p),
        _material(p),
        *fittings,
        _thickness(p),
        _mass(p),
    )


def _area(p: Parameters) -> Target | None:
    if p.rules.firewall_area is None:
        return None
    own, spread = limit(p.rules.firewall_area), limit(p.rules.firewall_area_band)
    return Target(
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


def _fill() -> Target:
    return Target(
        "firewall.fill",
        "sheet over the clear section of the hull",
        "between",
        "1",
        low=FILL[0],
        high=FILL[1],
        formula="measured sheet, all holes taken out / measured clear section of the hull",
        source="own choice: a sheet that fills the hull but for a sealant's gap and small holes",
    )


def _holes() -> tuple[Target, ...]:
    """Return the limits on holes without a fitting and fittings without a hole: none."""
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


def _gap(p: Parameters) -> Target:
    own = limit(p.rules.firewall_gap)
    return Target(
        "firewall.edge_gap",
        "gap between the firewall's edge and the hull",
        "at most",
        "mm",
        high=own.value,
        formula="rules.firewall_gap",
        source=own.source,
    )


def _material(p: Parameters) -> Target:
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


def _fittings(p: Parameters) -> Target:
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


def _thickness(p: Parameters) -> Target:
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


def _mass(p: Parameters) -> Target:
    what, formula = "mass of the firewall", "measured volume x firewall.density"
    inputs = (("density", units.both(p.firewall.density, "density")),)
    if p.rules.firewall_mass is None:
        notice = "no limit is set: rules.firewall_mass would set one"
        return Target(
            "firewall.mass", what, "none", "kg", formula=formula, inputs=inputs, notices=(notice,)
        )
    own = limit(p.rules.firewall_mass)
    return Target(
        "firewall.mass",
        what,
        "at most",
        "kg",
        high=own.value,
        formula=formula,
        inputs=inputs,
        source=own.source,
    )
