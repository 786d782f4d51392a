"""What the sheet and its fittings are of, held to 14 CFR 23.1191(h); the rule is a yardstick here.

Least thicknesses and metals are quoted from the rule: what it accepts without a fire test.
"""

from geomgen.parameters.records.engine_bay import Firewall
from geomgen.shops.product import found
from geomgen.sizing.formulas.firewall import (
    LEAST_INCHES,
    SOURCE,
    least_thickness,
    permitted_fittings,
)
from geomgen.units import INCH
from geomgen.verdicts.check import Check

# The sheets of the rule's list in its words.
SHEETS = {
    "stainless steel": "stainless steel sheet",
    "mild steel": "mild steel sheet, protected against corrosion",
    "terne plate": "terne plate",
    "monel": "Monel metal",
    "titanium": "titanium sheet",
}


def _words(material: str) -> str:
    inches = LEAST_INCHES[material]
    return f"{SHEETS[material]}, {inches:g} in ({inches * INCH:.3f} mm)"


def material_finding(firewall: Firewall, thickness: float) -> Check:
    """Return the finding on the sheet: its metal on the rule's list and thick enough [mm]."""
    what = f"thickness of the sheet, {firewall.material}"
    method = "distance of both faces of the solid"
    least = least_thickness(firewall.material)
    if least is None:
        every = "; ".join(_words(material) for material in LEAST_INCHES)
        return found(
            "sheet.material", "firewall", what, thickness, "mm", method=method, source=SOURCE,
            hopeless=f"{firewall.material} is not on the list at any thickness"
            + (": it melts in the flame that the sheet holds back" if "alum" in firewall.material
               else "")
            + f"; take one of: {every}",
        )  # fmt: skip
    return found(
        "sheet.material", "firewall", f"{what}; the rule: {_words(firewall.material)}", thickness,
        "mm", low=least, method=method, source=SOURCE,
        advice=f"thicken firewall.thickness to {least:.3f} mm or more"
        + ("; coat the sheet against corrosion" if firewall.material == "mild steel" else ""),
    )  # fmt: skip


def fittings_finding(firewall: Firewall) -> Check | None:
    """Return the finding on the fittings: all of steel or copper alloy; None without holes."""
    if not firewall.penetrations:
        return None
    wrong = [hole for hole in firewall.penetrations if hole.fitting not in permitted_fittings()]
    return found(
        "sheet.fittings", "firewall", "fittings that are not of steel or copper alloy",
        float(len(wrong)), "1", high=0.0, where=", ".join(hole.use for hole in wrong),
        method="the file's list of penetrations", source=SOURCE,
        advice="take a fitting of steel or copper alloy for: "
        + ", ".join(f"{hole.use} ({hole.fitting})" for hole in wrong) if wrong else "",
    )  # fmt: skip
