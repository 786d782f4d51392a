"""What stands in the title block of every drawing."""

from dataclasses import dataclass

from geomgen.drafting.own_lengths import told

# What stands large on everything that leaves although a check failed, the reason behind it.
RELEASED = "RELEASED ALTHOUGH A CHECK FAILED"


@dataclass(frozen=True)
class Title:
    """The title block: whose drawing, which revision, which hand, what to watch.

    `reason` is the text with which a set was released although a check failed; it is printed in
    large type. `cautions` are lines in small type.
    """

    project: str
    part: str
    revision: str
    hand: str = ""
    unit: str = "mm"
    note: str = ""
    fingerprint: str = ""
    reason: str = ""
    cautions: tuple[str, ...] = (
        "A geometry aid, not an airworthiness approval.",
        "Local codes and licensed practice come first.",
    )

    def __post_init__(self) -> None:
        object.__setattr__(self, "note", told(self.note))
