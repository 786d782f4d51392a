"""What a comparison found, as one record: for a table, a page, JSON."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from geomgen.comparison.cut_parts import CutPart
from geomgen.comparison.figure_changes import FigureChange
from geomgen.comparison.parameter_changes import ParameterChange
from geomgen.comparison.shape_changes import PartChange
from geomgen.comparison.wording import (
    answer,
    cut_table,
    figure_table,
    parameter_table,
    part_table,
)
from geomgen.documents.record import Table
from geomgen.workflows.building.build import CAUTION

if TYPE_CHECKING:
    from geomgen.drafting.paper.sheet import Sheet


@dataclass(frozen=True)
class SideInfo:
    """What was compared: how it was named, its set's name and revision, where its files are.

    `folder` is empty when the set was built for the comparison only.
    """

    label: str
    name: str
    title: str
    revision: str
    fingerprint: str
    folder: str
    built: bool
    handed_off: bool


@dataclass(frozen=True)
class ComparisonResult:
    """Everything that differs between a former and a new state.

    `inferred` says that the fate of the shops' files is an inference, since one side has none.
    `findings` are files that are no longer what their manifest says: figures that hang on them are
    not to be trusted. `sheet` is the overlay drawing, None when no part differs.
    """

    former: SideInfo
    new: SideInfo
    parameters: tuple[ParameterChange, ...]
    figures: tuple[FigureChange, ...]
    parts: tuple[PartChange, ...]
    cut: tuple[CutPart, ...]
    inferred: bool
    findings: tuple[str, ...]
    notes: tuple[str, ...]
    sheet: "Sheet | None"
    seconds: float

    @property
    def same(self) -> bool:
        """Say whether nothing differs and nothing is in doubt."""
        files = all(c.fate in ("right", "title only", "no reason found") for c in self.cut)
        return (
            files
            and not (self.parameters or self.findings)
            and all(f.kind == "same" for f in self.figures)
            and not any(p.differs for p in self.parts)
        )

    @property
    def passed(self) -> bool:
        """Say whether the new state passes its checks and all files are what they should be."""
        stops = any(f.new is not None and f.new.stops for f in self.figures)
        return not (stops or self.findings)

    @property
    def answer(self) -> str:
        """Return one sentence that says what differs."""
        said = answer(self.parameters, self.figures, self.parts, self.cut)
        if not self.findings:
            return said
        many = len(self.findings)
        return f"{said}; {many} {'finding' if many == 1 else 'findings'} on the files themselves"

    def tables(self, all_: bool = False) -> tuple[Table, ...]:
        """Return tables of plain text; `all_` adds what is the same."""
        return (
            parameter_table(self.parameters),
            figure_table(self.figures, all_),
            part_table(self.parts),
            cut_table(self.cut, all_),
        )

    def as_dict(self) -> dict[str, object]:
        """Return plain values for JSON."""
        return {
            "answer": self.answer,
            "same": self.same,
            "former": vars(self.former),
            "new": vars(self.new),
            "findings": list(self.findings),
            "notes": list(self.notes),
            "parameters": [change.as_dict() for change in self.parameters],
            "figures": [change.as_dict() for change in self.figures],
            "parts": [change.as_dict() for change in self.parts],
            "handoff": {
                "inferred": self.inferred,
                "products": [change.as_dict() for change in self.cut],
            },
            "caution": CAUTION,
        }
