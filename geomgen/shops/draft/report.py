"""Draft and undercut of every half of every mould, and the scoops that stand on the pod."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from geomgen.arrays import Floats
from geomgen.drafting.paper.sheet import Sheet
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Vec3
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import SPLITS, Mould
from geomgen.shapes.hull import pod_body, pod_lines
from geomgen.shapes.scoop import course, scoop_names
from geomgen.shops.draft.cells import Cells, DraftBody, body_of
from geomgen.shops.draft.hatching import StandingUndercut, spoken
from geomgen.shops.draft.overhang import overhangs
from geomgen.shops.draft.sheet import draft_sheet
from geomgen.shops.draft.standing import Standing, seated, standing
from geomgen.shops.draft.undercut import Draft, Region, Side, draft_of
from geomgen.shops.moulds.bodies import (
    key_of,
    mould_body,
    pull_directions,
    scoop_index,
    skin_deducted,
    tip_ended,
)
from geomgen.shops.moulds.findings import end_words
from geomgen.shops.product import Hand, ShopSheet, found
from geomgen.verdicts.check import Check

# More of a half below the draft than this [%] is told; undercut smaller than this [mm2] is not.
BELOW_SHARE = 1.0
SPOT = 10.0
# Undercut no wider across the pull than this [mm] does not hold a part: own choice.
HAIR = 0.05
# A scoop lies against the skin where it is nearer than its gap and this [mm].
SEAT = 0.5
# Mesh tolerance of a scoop whose mouth is looked for, as a share of its diagonal.
COARSE = 4e-4
# A plane at a right angle to these is an end of the part.
FORE_AND_AFT, INBOARD, SQUARE = (1.0, 0.0, 0.0), (0.0, -1.0, 0.0), 0.9999
METHOD = (
    "true surface normals; rays along the pull on the verified mesh; flat ends, which are trimmed, "
    "and a seat on the hull left out"
)
PRACTICE = "common practice"
# Beyond so much of a half below the draft [%] the other split is tried, and is advised where it
# leaves less than this share of that: own choice.
MUCH, LESS = 10.0, 0.5
NOTES = (
    "for the mould maker: judge split and pull before cutting; no work is scaled off it",
    "datum: STA aft, BL from the centre plane, WL up, of the aircraft; surface without its stock",
)
HANDS: dict[str, Hand] = {"left": "left", "right": "right"}


@dataclass(frozen=True)
class DraftHalf:
    """One half of a mould: its name, its pull, and which side of the split it has."""

    name: str
    pull: Vec3
    side: Side


def halves(p: Parameters, mould: Mould) -> list[DraftHalf]:
    """Return the halves of a mould.

    At the centre plane a half has what lies on its side of the plane; at the maximum breadth it
    has what faces its pull.
    """
    flat = mould.split == "centre plane" and mould.part != "wing_tip"
    origin = np.zeros(3)
    if flat and mould.part.startswith("scoop_"):
        origin[1:] = course(p, pod_lines(p), scoop_index(p, mould)).frame.origin
    return [
        DraftHalf(name, pull, side_of(pull, origin if flat else None))
        for name, pull in pull_directions(p, mould)
    ]


def moulded(p: Parameters, mould: Mould) -> DraftBody:
    """Return the moulded body with only those cells that the mould has to form.

    Flat ends are trim planes and a scoop's seat on the hull is open: neither counts. Raises
    GeometryError when the body can't be made or meshed.
    """
    body = body_of(mould_body(p, mould), mould.part)
    cells = body.cells
    plane = np.array([surface.kind == "plane" for surface in body.surfaces])[cells.face]
    away = cells.normals[:, 0] @ np.array(INBOARD if mould.part == "wing_tip" else FORE_AND_AFT)
    trim = plane & (away > SQUARE if mould.part == "wing_tip" else np.abs(away) > SQUARE)
    if mould.part.startswith("scoop_"):
        scoop, pod = p.scoops[scoop_index(p, mould)], pod_lines(p)
        out = course(p, pod, scoop_index(p, mould)).frame.out
        skin = body_of(pod_body(pod, 0.0, loose_box_of(body)), "pod")
        near = seated(cells, skin, np.array([0.0, *out]), scoop.gap + SEAT)
        trim |= _of_seats(cells, near)
    return replace(body, cells=cells.picked(np.nonzero(~trim)[0]))


def _of_seats(cells: Cells, near: Floats) -> Floats:
    """Return the cells (m,) of the faces that lie on the skin with most of their area.

    Where the outer surface runs out thin onto the skin, some of its cells are `near` (m,) as well.
    """
    size = np.bincount(cells.face, weights=cells.areas)
    seat = np.bincount(cells.face, weights=cells.areas * near) > size / 2
    return np.asarray(seat[cells.face])


def loose_box_of(body: DraftBody) -> Box:
    """Return the box [mm] of a body's mesh."""
    low, high = body.mesh.vertices.min(axis=0).tolist(), body.mesh.vertices.max(axis=0).tolist()
    return Box((low[0], low[1], low[2]), (high[0], high[1], high[2]))


def side_of(pull: Vec3, origin: Floats | None) -> Side:
    """Return on which side of a plane across the pull cells lie [mm]; without, how they face."""
    d = np.array(pull) / np.linalg.norm(pull)

    level = 0.0 if origin is None else float(origin @ d)

    def height(cells: Cells) -> Floats:
        return np.asarray(cells.corners @ d - level)

    def facing(cells: Cells) -> Floats:
        return np.asarray(cells.normals @ d)

    return facing if origin is None else height


def draft_findings(p: Parameters, model: Model) -> tuple[tuple[Check, ...], tuple[ShopSheet, ...]]:
    """Return the findings on draft and undercut of all moulds, and a picture of each half.

    GeometryError when a moulded body can't be made or meshed.
    """
    findings: list[Check] = []
    sheets: list[ShopSheet] = []
    for mould in p.handoff.moulds if p.handoff else ():
        body = moulded(p, mould)
        notes = (*NOTES, *_early(p, mould))
        scoops = scoop_bodies(p, model) if mould.part == "pod" else []
        drafts = _drafts(p, mould, body)
        other = other_split(p, mould, body, max(_share(measured) for _, measured in drafts))
        for half, measured in drafts:
            advice = split_advice(p, mould, other, _share(measured)) if other else ""
            findings += half_findings(mould.part, half.name, measured, half.side, advice)
            patches: list[StandingUndercut] = []
            for scoop, stands in _held(scoops, body, half):
                findings.append(scoop_finding(mould.part, half.name, scoop, stands))
                words = f"undercut by the scoop {scoop.called}: it needs its own mould"
                patches.append(StandingUndercut(stands.cells, stands.undercut, words))
            drawing = draft_sheet(
                f"draft_{mould.part}_{half.name}", body, measured, half.name, tuple(patches), notes
            )
            sheets.append(_sheet(mould, half, drawing))
    return tuple(findings), tuple(sheets)


def _early(p: Parameters, mould: Mould) -> tuple[str, ...]:
    """Return where a wing tip has to end early, in words."""
    if mould.part != "wing_tip":
        return ()
    tip = tip_ended(p, mould, -skin_deducted(p, mould))
    return (end_words(tip),) if tip.early else ()


@dataclass(frozen=True)
class StandingScoop:
    """A scoop on a body: what it is called, its name in the file, gap to the skin [mm], body."""

    called: str
    name: str
    gap: float
    body: DraftBody


def scoop_bodies(p: Parameters, model: Model) -> list[StandingScoop]:
    """Return the model's scoops, each called as its solid is."""
    return [
        StandingScoop(
            name.removeprefix("scoop_"), s.name, s.gap, body_of(model.parts[name], name, COARSE)
        )
        for index, s in enumerate(p.scoops)
        for name in scoop_names(p, index)
        if name in model.parts
    ]


def _held(
    scoops: Sequence[StandingScoop], body: DraftBody, half: DraftHalf
) -> list[tuple[StandingScoop, Standing]]:
    """Return what a half does not release; the hand tells two of one name on it apart."""
    every = [(s, standing(body, s.body, half.pull, s.gap + SEAT, half.side)) for s in scoops]
    held = [(scoop, stands) for scoop, stands in every if stands.area > SPOT]
    many = Counter(scoop.name for scoop, _ in held)
    return [(s if many[s.name] > 1 else replace(s, called=s.name), stands) for s, stands in held]


def _drafts(p: Parameters, mould: Mould, body: DraftBody) -> list[tuple[DraftHalf, Draft]]:
    return [
        (half, draft_of(body, half.pull, mould.draft.value, half.side)) for half in halves(p, mould)
    ]


@dataclass(frozen=True)
class OtherSplit:
    """The other way to split a mould, and the share of its worst half below the draft [%]."""

    split: str
    worst: float


def other_split(p: Parameters, mould: Mould, body: DraftBody, share: float) -> OtherSplit | None:
    """Measure the other split of a mould, the worst half of which has a share below the draft [%].

    None where that is little, where there is no other, or where that one is undercut.
    """
    if share <= MUCH or mould.part == "wing_tip":
        return None
    (other,) = (split for split in SPLITS if split != mould.split)
    drafts = [
        measured for _, measured in _drafts(p, mould.model_copy(update={"split": other}), body)
    ]
    if max(each.undercut for each in drafts) > SPOT:
        return None
    return OtherSplit(other, max(map(_share, drafts)))


def split_advice(p: Parameters, mould: Mould, other: OtherSplit, share: float) -> str:
    """Say that the other split leaves far less than a share [%] of a half below the draft.

    Nothing where it does not.
    """
    if share <= MUCH or other.worst > LESS * share:
        return ""
    return (
        f'write split = "{other.split}" in {key_of(p, mould)}: there at most {other.worst:.1f} % '
        "of a half has less draft, and nothing of the body itself is undercut; or "
    )


def _share(measured: Draft) -> float:
    """Return how much of a half has less draft than is wanted [%]."""
    return 100 * measured.below / max(measured.total, 1e-300)


def half_findings(
    part: str, half: str, measured: Draft, side: Side | None = None, advice: str = ""
) -> list[Check]:
    """Return what was found on one half: the share below the draft, and the undercut.

    `advice` comes first of what is said of the draft.
    """
    hair = measured.undercut > SPOT and not overhangs(measured, HAIR, side)
    return [
        found(
            f"draft.below.{part}.{half}",
            part,
            f"share of the {half} half with less draft than {measured.wanted_deg:g} deg",
            _share(measured),
            "%",
            high=BELOW_SHARE,
            severity="warn",
            where=_where(measured.below_at),
            method=f"{METHOD}; {measured.below:.0f} of {measured.total:.0f} mm^2",
            source=PRACTICE,
            advice=f"{advice}wax and part with care there, lean the edge at the split, or move the "
            "split",
        ),
        found(
            f"draft.undercut.{part}.{half}",
            part,
            f"surface of the {half} half that a straight pull can't release",
            measured.undercut,
            "mm2",
            high=None if hair else SPOT,
            severity="info" if hair else "warn",
            where=_hair(measured.undercut_at) if hair else _where(measured.undercut_at),
            method=METHOD,
            source=PRACTICE,
            advice="move the split, part the mould once more there, or make it a loose piece",
        ),
    ]


def scoop_finding(part: str, half: str, scoop: StandingScoop, stands: Standing) -> Check:
    """Return what a scoop brings that stands on the body and does not release [mm2]."""
    return found(
        f"draft.undercut.{part}.{half}.scoop_{scoop.called}",
        part,
        f"undercut of the {half} half with the scoop {scoop.called} moulded in one",
        stands.area,
        "mm2",
        high=SPOT,
        severity="warn",
        where=_where(stands.at),
        method=f"{METHOD}; {stands.on_scoop:.0f} mm^2 inside the mouth, {stands.on_body:.0f} "
        "mm^2 of skin under it",
        source=PRACTICE,
        advice="the scoop needs its own mould: [[handoff.moulds]] with part = "
        f'"scoop_{scoop.name}"',
    )


def _hair(region: Region | None) -> str:
    return f"nowhere more than {HAIR:g} mm wide across the pull, which sanding clears: " + _where(
        region
    )


def _where(region: Region | None) -> str:
    if region is None:
        return ""
    (x0, y0, z0), (x1, y1, z1) = region.box.low, region.box.high
    return (
        f"largest piece {region.area:.0f} mm^2 about {spoken(region.centroid)}; STA {x0:.0f} to "
        f"{x1:.0f}, BL {y0:.0f} to {y1:.0f}, WL {z0:.0f} to {z1:.0f}"
    )


def _sheet(mould: Mould, half: DraftHalf, made: Sheet) -> ShopSheet:
    note = (
        f"{mould.part}, {mould.treatment}, split at the {mould.split}; hatched: draft below "
        f"{mould.draft.value:g} deg; cross-hatched: undercut"
    )
    hand = HANDS.get(half.name, "")
    return ShopSheet(made.drawing.name, mould.part, made, hand, note)
