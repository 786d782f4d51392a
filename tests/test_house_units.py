"""Areas and volumes are written for people in one way: cm^2 on a screen, with \u00b2 on paper."""

import re
from pathlib import Path

import geomgen

PACKAGE = Path(geomgen.__file__).parent
# Behind a figure or the place of one, which may end the line before; units of a record and keys of
# a file never stand so.
BARE = re.compile(r"(\}|\d) (g/|kg/)?(mm|cm|m)[23]\b|^\s*f?\"(g/|kg/)?(mm|cm|m)[23] \w")


def test_no_text_for_people_writes_a_power_bare() -> None:
    odd = [
        f"{file.relative_to(PACKAGE)}: {line.strip()}"
        for file in sorted(PACKAGE.rglob("*.py"))
        for line in file.read_text().splitlines()
        if "drafting" not in file.parts and BARE.search(line)
    ]
    assert odd == []
