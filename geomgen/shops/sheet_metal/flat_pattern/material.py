"""What the sheet and its fittings are of, held to 14 CFR 23.1191(h); the rule is a yardstick here.

Least thicknesses and metals are quoted from the rule: what it accepts without a fire test.
"""

from geomgen.parameters.records.engine_bay import Firewall
from geomgen.shops.product import found
from geomgen.verdicts.check import Check

SOURCE = "14 CFR 23.1191(h): accepted without a fire test"
INCH = 25.4
# Least thickness [in] of each sheet on the list, in the rule's words.
LEAST = {
    "stainless steel": (0.015, "stainless steel sheet, 0.015 in (0.381 mm)"),
    "mild steel": (0.018, "mild steel sheet, protected against corrosion, 0.018 in (0.457 mm)"),
    "terne plate": (0.018, "terne plate, 0.018 in (0.457 mm)"),
    "monel": (0.018, "Monel metal, 0.018 in (0.457 mm)"),
    "titanium": (0.016, "titanium sheet, 0.016 in (0.406 mm)"),
}
FITTINGS = ("steel", "stainless steel", "brass", "copper")


def material_finding(firewall: Firewall, thickness: float) -> Check:
    """Return the finding on the sheet: its metal on the rule's list and thick enough [mm]."""
    what = f"thickness of the sheet, {firewall.material}"
    method = "distance of both faces of the solid"
    if firewall.material not in LEAST:
        every = "; ".join(words for _, words in LEAST.values())
        return found(
            "sheet.material", "firewall", what, thickness, "mm", method=method, source=SOURCE,
            hopeless=f"{firewall.material} is not on the list at any thickness"
            + (": it melts in the flame that the sheet holds back" if "alum" in firewall.material
               else "")
            + f"; take one of: {every}",
        )  # fmt: skip
    inches, words = LEAST[firewall.material]
    return found(
        "sheet.material", "firewall", f"{what}; the rule: {words}", thickness, "mm",
        low=inches * INCH, method=method, source=SOURCE,
        advice=f"thicken firewall.thickness to {inches * INCH:.3f} mm or more"
        + ("; coat the sheet against corrosion" if firewall.material == "mild steel" else ""),
    )  # fmt: skip


def fittings_finding(firewall: Firewall) -> Check | None:
    """Return the finding on the fittings: all of steel or copper alloy; None without holes."""
    if not firewall.penetrations:
        return None
    wrong = [hole for hole in firewall.penetrations if hole.fitting not in FITTINGS]
    return found(
        "sheet.fittings", "firewall", "fittings that are not of steel or copper alloy",
        float(len(wrong)), "1", high=0.0, where=", ".join(hole.use for hole in wrong),
        method="the file's list of penetrations", source=SOURCE,
        advice="take a fitting of steel or copper alloy for: "
        + ", ".join(f"{hole.use} ({hole.fitting})" for hole in wrong) if wrong else "",
    )  # fmt: skip
