"""Mass and balance of a state in one block: the figures, what the last change did to each."""

from collections.abc import Sequence
from typing import Any

from geomgen.pages.check_rows import row
from geomgen.pages.mass_diagram import DrawnEnvelope
from geomgen.pages.templates import rendered
from geomgen.verdicts.check import Check
from geomgen.watching.live_page.changes import moved

FIGURES = ("mass.empty", "mass.gross", "balance.forward", "balance.aft", "balance.static_margin")
SHOWN = ("id", "kind", "sign", "word", "what", "measured", "limit", "margin", "where")


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
            shift = moved(before.get(id_), after[id_])
            rows.append({**{key: whole[key] for key in SHOWN}, "moved": shift})
    drawn = rendered("pages/page/envelope.html.j2", e=envelope, beside="") if envelope else ""
    return {"rows": rows, "envelope": drawn}
