"""A made-up study page for the tests."""

from made_outcomes import check

from geomgen.pages.study_page import CAUTIONS, AxisLine, KeyLine, StudyPage, VariantLine
from geomgen.verdicts.check import Limits

STATIONS, DIAMETERS = ("1.8 m", "1.9 m", "2 m"), ("1.2 m", "1.3 m")


def variants():
    """Return six variants: three pass, one fails, one was refused, one crashed."""
    found = []
    for i, station in enumerate(STATIONS):
        for j, diameter in enumerate(DIAMETERS):
            number = 2 * i + j + 1
            mass = check(
                "mass", 1.0 + 0.1 * number, Limits("at most 1.35 kg", None, 1.35), "at most", "kg"
            )
            gap = check("gap", 30.0 - number, Limits("at least 25 mm", 25.0), "at least")
            built = number < 5
            status = "built and measured" if built else "its process crashed"
            reason = "" if built else "ended by signal 11 <SIGSEGV> & gone"
            file = f"variants/000{number}.toml"
            found.append(
                VariantLine(
                    number,
                    (station, diameter),
                    built,
                    status,
                    (mass, gap) if built else (),
                    reason,
                    file,
                    f"geomgen build x.sweep/{file}",
                    number == 1,
                )
            )
    return tuple(found)


def study():
    """Return the page's records."""
    rows = variants()
    numbers = [float(v.values[0].split()[0]) * 1000 for v in rows]
    others = [float(v.values[1].split()[0]) * 1000 for v in rows]
    mass = [v.checks[0].measured if v.built else None for v in rows]
    gap = [v.checks[1].measured if v.built else None for v in rows]
    return StudyPage(
        name="demo",
        title='Demo </script> & "co"',
        revision="B",
        keys=(
            KeyLine("firewall.station", "front face", "1.8 m:2 m:3"),
            KeyLine("propeller.diameter", "diameter", "1.2 m,1.3 m"),
        ),
        axes=(
            AxisLine("set firewall.station", "front face", "mm", tuple(numbers), varied=True),
            AxisLine("set propeller.diameter", "diameter", "mm", tuple(others), varied=True),
            AxisLine("mass", "what mass is", "kg", tuple(mass), "low", high=1.35),
            AxisLine("gap", "what gap is", "mm", tuple(gap), "high", low=25.0),
        ),
        shown=("mass", "gap", "set firewall.station"),
        variants=rows,
        weighed=(("mass", "low"), ("gap", "high")),
        design="Every combination: 6 variants.",
        map_keys=(0, 1),
        cautions=CAUTIONS,
        fingerprint="ab" * 32,
        versions=(("geomgen", "0.1.0"),),
    )
