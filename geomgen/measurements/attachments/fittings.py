"""The questions about fittings: on what they stand, how much of the foot is backed, the bolts."""

from collections.abc import Iterator, Sequence

from geomgen.errors import GeometryError
from geomgen.kernel.model import Model
from geomgen.kernel.plain import BoltedPlate
from geomgen.measurements.answers import joined_rows, rows
from geomgen.measurements.attachments.foot import BOND, RINGS, ROUND, BackedFoot, backed_foot
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject
from geomgen.measurements.wing_structure.room_from import Pair, least_gap, near_pairs

ON, BACKED, EDGE = "structure.on_structure", "structure.backed", "structure.edge_distance"
FIGURES = ((ON, "mm"), (BACKED, "1"), (EDGE, "1"))
FITTING, JOINT_PLATE = "fitting_", "joint_plate_"
# What a fitting may stand on; a joint's plates lie on the spar and on each other.
CARRIERS = ("frame", "firewall", "spar", "rib", "joint_plate")
DISTANCE = "the solids' own distance to the nearest frame, spar, rib or firewall, by the meshes"
UNDER = (
    "rays square to the foot, from a grid over the plate's own section, to the meshes of frames, "
    f"firewall, spars and ribs; backed: met within the stated gap and {BOND:g} mm, not above it"
)
HOLES = (
    "holes of the plate's section to its outline; under the foot, circles about each hole of "
    f"{ROUND} looks, 0.05 diameters apart up to {RINGS[-1]:.1f}, until one is not backed all round"
)


def questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return one question for each fitting."""
    carriers = [name for name in boxes if model.families.get(name) in CARRIERS]
    for name, plate in model.bolted.items():
        if name in boxes and set(carriers) - {name}:
            others = [carrier for carrier in carriers if carrier != name]
            yield _question(name, _short(model, name), plate, near_pairs(name, others, boxes))


def _short(model: Model, name: str) -> str:
    """Return what ids call a plate; all of a joint's are called by that first."""
    inlay = model.inlay(name)
    if inlay is None or not name.startswith(JOINT_PLATE):
        return name.removeprefix(FITTING)
    return f"{inlay.name}.{name.removeprefix(inlay.name + '_')}"


def _question(
    name: str, short: str, plate: BoltedPlate, pairs: Sequence[Pair]
) -> MeasurementQuestion:
    near = [other for (_, other), _ in pairs]

    def ask(given: Given) -> Answer:
        def each() -> list[Measurement]:
            try:
                gap = least_gap(given.bodies, pairs)
                hosts = {other: given.bodies[other] for other in near}
                foot = backed_foot(plate, given.bodies[name], hosts, name)
            except GeometryError as error:
                raise GeometryError(error.problem, part=name, step=ON) from error
            on = Measurement(
                f"{ON}.{short}", f"{name}, {gap.other}",
                "distance of the fitting to the nearest part that can carry it", gap.gap, "mm",
                DISTANCE, gap.bound, f"{name} at {place(gap.points[0])}", gap.points,
                f"it stands on {gap.other}" if foot.by_part[gap.other] > 0.0
                else f"{gap.other} is the nearest, not under its foot",
            )  # fmt: skip
            # The packings of a joint have no pins; that its plates have theirs is told elsewhere.
            bare = name.startswith(JOINT_PLATE) and not foot.holes
            edges = [] if bare else [_edges(short, name, foot)]
            return [on, _backing(short, name, foot), *edges]

        return rows(each)

    return MeasurementQuestion(
        f"{ON}.{short}", ask, bodies=(name, *near), plain=(plate, tuple(pairs)), weight=0.3
    )


def _backing(short: str, name: str, foot: BackedFoot) -> Measurement:
    told = [f"{other} {100 * share:.0f} %" for other, share in foot.by_part.items() if share > 0.0]
    return Measurement(
        f"{BACKED}.{short}", name, "share of the fitting's foot with structure under it",
        foot.share, "1", UNDER, foot.bound,
        "" if foot.bare is None else f"not backed about {place(foot.bare)}",
        () if foot.bare is None else (foot.bare,),
        "backed by " + (", ".join(told) or "nothing"),
    )  # fmt: skip


def _edges(short: str, name: str, foot: BackedFoot) -> Measurement:
    what = "least distance of a bolt's middle to an edge, in diameters"
    if not foot.holes:
        return Measurement(
            f"{EDGE}.{short}", name, what, None, "1", HOLES, note="its plate has no holes"
        )
    worst = min(foot.holes, key=lambda hole: min(hole.plate, hole.host))
    least_plate = min(hole.plate for hole in foot.holes)
    least_host = min(hole.host for hole in foot.holes)
    beyond = " or more" if least_host >= RINGS[-1] - 1e-9 else ""
    return Measurement(
        f"{EDGE}.{short}", name, what, min(worst.plate, worst.host), "1", HOLES, 0.05,
        f"bolt at {place(worst.at)}", (worst.at,),
        f"{len(foot.holes)} holes of {worst.diameter:.1f} mm; to the edge of the plate "
        f"{least_plate:.2f}, of what is under it {least_host:.2f}{beyond}",
    )  # fmt: skip


def _said(by: Answered) -> list[Measurement]:
    found: list[Measurement] = []
    for name in by.model.bolted:
        short = _short(by.model, name)
        answer = by.answers.get(f"{ON}.{short}")
        if isinstance(answer, list):
            found += joined_rows(f"{ON}.{short}", "mm", answer)
        elif answer is not None:
            for figure, unit in FIGURES:
                found += joined_rows(f"{figure}.{short}", unit, answer)
    return found


FITTINGS = Subject(questions, _said)
