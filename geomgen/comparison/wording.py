"""What a comparison says: a one-sentence answer, and tables of plain text."""

from collections.abc import Sequence

from geomgen.comparison.cut_parts import WRONG, CutPart, Fate
from geomgen.comparison.figure_changes import FigureChange
from geomgen.comparison.parameter_changes import ParameterChange
from geomgen.comparison.shape_changes import PartChange
from geomgen.documents.record import Row, Table, Tone, rows_of
from geomgen.kernel.plain import Vec3
from geomgen.verdicts.outcome import OUTCOMES
from geomgen.verdicts.wording import figure, measured_text

FATE_WORDS: dict[Fate, str] = {
    "cut again": "cut again",
    "withdrawn": "no longer handed off",
    "in doubt": "in doubt: hand off again",
    "read again": "read again",
    "moved": "keep the shape, mind its place",
    "not told apart": "keep, if so little does not matter",
    "new": "new",
    "title only": "keep",
    "no reason found": "no reason found against it",
    "right": "keep",
}


def answer(
    parameters: Sequence[ParameterChange],
    figures: Sequence[FigureChange],
    parts: Sequence[PartChange],
    cut: Sequence[CutPart],
) -> str:
    """Return one sentence that says what differs.

    >>> answer((), (), (PartChange("pod", "same"),), ())
    'nothing differs: the same parameters, figures, shapes and files'
    """
    moved = [f for f in figures if f.kind != "same"]
    turned = [f for f in figures if f.kind == "turned"]
    changed = [p for p in parts if p.kind in ("changed", "added", "removed")]
    unsure = [p for p in parts if p.kind == "not told apart"]
    shifted = [p for p in parts if p.kind == "moved"]
    wrong = sum(len(row.files) for row in cut if row.fate in WRONG)
    doubt = sum(len(row.files) for row in cut if row.fate in ("in doubt", "not told apart"))
    if not (parameters or moved or changed or unsure or shifted or wrong or doubt or _news(cut)):
        return "nothing differs: the same parameters, figures, shapes and files"
    said = [
        _many(len(parameters), "parameter differs", "parameters differ"),
        _many(len(moved), "figure moved", "figures moved"),
        *_turned(turned),
        f"{len(changed)} of {_many(len(parts), 'part', 'parts')} changed shape",
    ]
    if shifted:
        said.append(_many(len(shifted), "part only moved", "parts only moved"))
    if unsure:
        said.append(_many(len(unsure), "part", "parts") + " can't be told from the former")
    if cut:
        said.append(_many(wrong, "hand-off file is", "hand-off files are") + " no longer right")
    if doubt:
        said.append(_many(doubt, "file is", "files are") + " in doubt")
    if _news(cut):
        said.append(_many(_news(cut), "product is new", "products are new"))
    return ", ".join(said)


def _news(cut: Sequence[CutPart]) -> int:
    return sum(row.fate == "new" for row in cut)


def _turned(turned: Sequence[FigureChange]) -> list[str]:
    found = []
    for verdict in ("fail", "not_measured", "warn", "pass"):
        count = sum(f.new is not None and f.new.verdict == verdict for f in turned)
        if count:
            found.append(_many(count, "verdict", "verdicts") + f" turned to {OUTCOMES[verdict]}")
    return found or ["no verdict turned"]


def _many(count: int, one: str, more: str) -> str:
    return f"{count or 'no'} {one if count in (0, 1) and count else more}"


def parameter_table(changes: Sequence[ParameterChange]) -> Table:
    """Return the keys that differ with both values."""
    rows = rows_of((c.key, c.former or "-", c.new or "-") for c in changes)
    return Table(("key", "former", "new"), rows, title="Parameters")


def figure_table(changes: Sequence[FigureChange], all_: bool = False) -> Table:
    """Return the figures that moved or turned; `all_` adds those that are the same."""
    rows = tuple(_figure_row(c) for c in changes if all_ or c.kind != "same")
    head = ("check", "former", "new", "limit", "moved by", "of margin", "verdict")
    return Table(head, rows, title="Figures")


def _figure_row(c: FigureChange) -> Row:
    measured = (measured_text(c.former), measured_text(c.new))
    return Row((c.id, *measured, _limit(c), _moved(c), _share(c), _verdict(c)), _tone(c))


def _limit(change: FigureChange) -> str:
    check = change.new or change.former
    return check.target.text if check is not None else "-"


def _moved(change: FigureChange) -> str:
    if change.kind == "limit changed" and change.former and change.new:
        return f"limit: {change.former.target.text}, now {change.new.target.text}"
    if change.kind in ("appeared", "vanished"):
        return "new" if change.kind == "appeared" else "no longer measured"
    moved = "-" if change.moved is None else figure(change.moved, change.unit, sign=True)
    return f"{moved}, limit changed" if change.limit_changed else moved


def _share(change: FigureChange) -> str:
    """Return what became of the margin; `+` is more of it.

    >>> from geomgen.verdicts.check import Limits
    >>> change = FigureChange("a", "", "", "mm", "moved", None, None, share=0.25)
    >>> _share(change)
    '-25 %'
    """
    if change.share is None:
        return "-"
    percent = -100.0 * change.share
    return f"{percent:+.0f} %" if abs(percent) >= 1 else f"{percent:+.1g} %"


def _verdict(change: FigureChange) -> str:
    now = OUTCOMES[change.new.verdict] if change.new else "-"
    if change.kind != "turned" or change.former is None:
        return now
    return f"{OUTCOMES[change.former.verdict]} -> {now}"


def _tone(change: FigureChange) -> Tone:
    if change.kind != "turned":
        return ""
    if change.new is not None and change.new.verdict == "pass":
        return "good"
    return "bad" if change.new is not None and change.new.stops else "doubt"


def part_table(changes: Sequence[PartChange]) -> Table:
    """Return the parts that are not the same; the largest distance first."""
    shown = sorted((c for c in changes if c.differs), key=lambda c: -(c.distance or 0.0))
    rows = rows_of((c.part, _kind(c), _distance(c), _place(c.at), _volume(c)) for c in shown)
    return Table(("part", "shape", "surfaces apart", "where", "volume"), rows, title="Parts")


def _kind(change: PartChange) -> str:
    if change.motion is None:
        return change.kind
    x, y, z = change.motion.shift
    turn = change.motion.degrees
    words = f"moved by {x:+.2f}, {y:+.2f}, {z:+.2f} mm"
    return f"{words}, turned {turn:.3f} deg" if turn else words


def _distance(change: PartChange) -> str:
    if change.distance is None:
        return "-"
    error = "error unknown" if change.error is None else f"+/- {change.error:.2f}"
    return f"{change.distance:.2f} mm ({error})"


def _place(at: Vec3 | None) -> str:
    return "-" if at is None else f"STA {at[0]:.1f} BL {at[1]:.1f} WL {at[2]:.1f}"


def _volume(change: PartChange) -> str:
    return "-" if change.volume is None else figure(change.volume, "mm3", sign=True)


def cut_table(changes: Sequence[CutPart], all_: bool = False) -> Table:
    """Return what became of each product, worst first; `all_` adds those that are right."""
    kept = ("right", "title only", "no reason found")
    shown = [c for c in changes if all_ or c.fate not in kept]
    tones: dict[str, Tone] = {
        "cut again": "bad",
        "withdrawn": "bad",
        "in doubt": "doubt",
        "not told apart": "doubt",
    }
    rows = tuple(
        Row((c.name, _who(c), _measure(c), FATE_WORDS[c.fate], c.why), tones.get(c.fate, ""))
        for c in shown
    )
    return Table(("files", "part", "moved by", "what to do", "why"), rows, title="Hand-off")


def _who(change: CutPart) -> str:
    return f"{change.part}, {change.hand}" if change.hand else change.part


def _measure(change: CutPart) -> str:
    if not change.moved:
        return "-"
    error = "" if change.error is None else f" +/- {change.error:.2f}"
    return f"{change.moved:.2f}{error} mm"
