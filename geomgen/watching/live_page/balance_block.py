"""Mass and balance of a state in one block: the figures, what the last change did to each."""

from collections.abc import Sequence
from typing import Any

from geomgen.pages.check_rows import row
from geomgen.pages.mass_diagram import DrawnEnvelope
from geomgen.pages.templates import rendered
from geomgen.verdicts.check import Check
from geomgen.verdicts.wording import figure, raised

FIGURES = ("mass.empty", "mass.gross", "balance.forward", "balance.aft", "balance.static_margin")
SHOWN = ("id", "kind", "sign", "word", "what", "measured", "limit", "margin", "where")
SAME, NOTHING = "same", "–"


def balance_block(
    former: Sequence[Check], new: Sequence[Check], envelope: DrawnEnvelope | None
) -> dict[str, Any] | None:
    """Return rows and envelope for the page; None where a file does not say what things weigh."""
    before = {check.id: check for check in former}
    after = {check.id: check for check in new if check.id in FIGURES}
    if not after:
        return None
    rows = []
    for id_ in FIGURES:
        if id_ in after:
            whole = row(after[id_])
            moved = _moved(before.get(id_), after[id_])
            rows.append({**{key: whole[key] for key in SHOWN}, "moved": moved})
    drawn = rendered("pages/page/envelope.html.j2", e=envelope, beside="") if envelope else ""
    return {"rows": rows, "envelope": drawn}


def _moved(one: Check | None, other: Check) -> str:
    """Return by how much a figure moved, with its sign."""
    if one is None or one.measured is None or other.measured is None or one.unit != other.unit:
        return NOTHING
    text = figure(other.measured - one.measured, other.unit, True)
    return SAME if not any(digit in text for digit in "123456789") else raised(text)
