"""What a joint leaves of plain parts: names, hands, offcuts, refusals; volumes in closed form."""

import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.mesh_part import MeshPart
from geomgen.kernel.solids.booleans import fuse
from geomgen.kernel.solids.properties import volume
from geomgen.kernel.trimming.cutting import by_meshes
from geomgen.parameters.records.aircraft import Joint
from geomgen.shapes.assembly.joints import trimmed
from geomgen.shapes.assembly.parted import OFFCUT_SHARE, OFFCUT_VOLUME
from geomgen.shapes.piece import Cutter, NamedSolid

ADVICE = "Move the one or the other"


def cutter(low, high, name: str = "other") -> Cutter:
    """Return a block that is a knife as it stands, grown by the gap."""
    return Cutter(
        name,
        lambda gap, near: box(tuple(c - gap for c in low), tuple(c + gap for c in high)),
    )


def pair(low, high) -> list[Cutter]:
    right = cutter(low, high, "boom_right")
    return [right, right.on_the_left()]


def wing(half: bool = True) -> NamedSolid:
    whole, right = (box((0, y, 0), (1000, 4000, 120)) for y in (-4000, 0))
    return NamedSolid("wing", "wing", whole, half=right if half else None)


def joined(pieces, cutters, family: str, to: str, gap: str = "0 mm") -> dict[str, NamedSolid]:
    joint = Joint.model_validate({"trim": family, "to": to, "gap": gap})
    made = trimmed(pieces, cutters, joint, "joints.3", lambda: ADVICE, ("a.key",))
    assert len({piece.name for piece in made}) == len(made)
    return {piece.name: piece for piece in made}


def size(piece: NamedSolid) -> float:
    return volume(piece.solid).value


def notes(pieces: dict[str, NamedSolid]) -> str:
    return "; ".join(note for piece in pieces.values() for note in piece.notes)


POD = [cutter((-100, -300, -400), (1200, 300, 500), "pod")]


@pytest.mark.parametrize("half", [True, False])
def test_a_wing_that_the_pod_interrupts_is_a_right_and_a_left_half(half: bool) -> None:
    parts = joined([wing(half)], POD, "wing", "pod", "5 mm")
    assert list(parts) == ["wing_right", "wing_left"]
    for part in parts.values():
        assert size(part) == pytest.approx(1000 * (4000 - 305) * 120, rel=1e-9)
        assert part.family == "wing"
        assert part.half is None
    assert "(joints.3) makes 2 parts of it: wing_right, wing_left" in notes(parts)


@pytest.mark.parametrize("half", [True, False])
def test_booms_through_a_wing_leave_a_centre_section_and_outer_panels(half: bool) -> None:
    booms = pair((-50, 750, -60), (1050, 850, 200))
    parts = joined([wing(half)], booms, "wing", "boom")
    assert list(parts) == ["wing_centre", "wing_outer_right", "wing_outer_left"]
    sizes = [size(part) / 1000 / 120 for part in parts.values()]
    assert sizes == pytest.approx([1500, 3150, 3150], rel=1e-9)
    assert (parts["wing_centre"].half is None) == (not half)


def test_pod_and_booms_leave_inner_and_outer_panels_in_either_order() -> None:
    booms = pair((-50, 750, -60), (1050, 850, 200))
    names = {"wing_inner_right", "wing_inner_left", "wing_outer_right", "wing_outer_left"}
    first = joined([wing()], POD, "wing", "pod")
    second = joined([wing()], booms, "wing", "boom")
    one = joined(list(first.values()), booms, "wing", "boom")
    other = joined(list(second.values()), POD, "wing", "pod")
    assert set(one) == set(other) == names
    for name in names:
        assert size(one[name]) == pytest.approx(size(other[name]), rel=1e-9)
    assert len(notes(one).split("; ")) == 2, "what the first joint did is not forgotten"


def test_left_parts_are_the_mirror_images_of_the_right_ones() -> None:
    from geomgen.kernel.solids.properties import centroid

    parts = joined([wing()], pair((-50, 750, -60), (1050, 850, 200)), "wing", "boom")
    (x, y, z), (a, b, c) = (centroid(parts[f"wing_outer_{s}"].solid) for s in ("right", "left"))
    assert (a, b, c) == pytest.approx((x, -y, z), abs=1e-6)
    assert y > 0


FIN = box((0, 780, -300), (500, 800, 900))
BOOM = [cutter((-2000, 740, -50), (600, 840, 50), "boom_right")]


def fin() -> list[NamedSolid]:
    right = NamedSolid("fin_right", "fin", FIN)
    return [right, right.on_the_left()]


def test_a_fin_above_and_below_its_boom_is_fin_and_ventral_fin() -> None:
    parts = joined(fin(), [*BOOM, BOOM[0].on_the_left()], "fin", "boom")
    hands = ("right", "left")
    assert list(parts) == [f"{name}_{hand}" for hand in hands for name in ("ventral_fin", "fin")]
    for hand in hands:
        assert size(parts[f"fin_{hand}"]) == pytest.approx(500 * 20 * 850)
        assert size(parts[f"ventral_fin_{hand}"]) == pytest.approx(500 * 20 * 250)


def test_a_fin_that_the_tailplane_divides_has_an_upper_and_a_lower_part() -> None:
    tail = [cutter((-50, -900, 300), (600, 900, 340), "tailplane")]
    parts = joined(fin(), tail, "fin", "tailplane")
    assert size(parts["fin_upper_right"]) == pytest.approx(500 * 20 * 560)
    assert size(parts["fin_lower_left"]) == pytest.approx(500 * 20 * 600)


def test_a_boom_through_a_wing_is_a_fore_and_an_aft_boom() -> None:
    right = NamedSolid("boom_right", "boom", box((-400, 750, 0), (3000, 850, 100)))
    knife = [cutter((0, -4000, -100), (1000, 4000, 200), "wing")]
    parts = joined([right, right.on_the_left()], knife, "boom", "wing", "1 mm")
    assert size(parts["boom_fore_right"]) == pytest.approx(399 * 100 * 100)
    assert size(parts["boom_aft_left"]) == pytest.approx(1999 * 100 * 100)


def test_a_offcut_is_dropped_and_said_with_its_size_and_place() -> None:
    """The fin ends 3 mm below the boom: 500 x 20 x 3 mm, 30 cm3, 0.27 % of the fin."""
    low = cutter((-2000, 740, -297), (600, 840, -200), "boom_right")
    parts = joined(fin(), [low, low.on_the_left()], "fin", "boom")
    assert list(parts) == ["fin_right", "fin_left"]
    assert "left out: (1) 30 cm^3, 500 x 20 x 3 mm, at STA 250, BL 790, WL -298 mm" in notes(parts)
    assert "the same on the left" in notes(parts)
    assert f"{OFFCUT_SHARE * 100:g} %" in notes(parts)
    assert f"{OFFCUT_VOLUME / 1000:g} cm^3" in notes(parts)


@pytest.mark.parametrize(
    ("below", "word"), [(4.9, "offcuts"), (5.1, "not all of which can be parts")]
)
def test_the_bound_of_an_offcut(below: float, word: str) -> None:
    """500 x 20 mm times 5 mm are 50 cm3; what is larger, but too low for a fin, is refused."""
    knife = cutter((-2000, 740, -300 + below), (600, 840, -200), "boom_right")
    try:
        said = notes(joined(fin(), [knife, knife.on_the_left()], "fin", "boom"))
    except GeometryError as error:
        said = error.problem
    assert word in said


@pytest.mark.parametrize(
    ("below", "word"), [(5.0, "which are left out"), (5.3, "too large together to be left out")]
)
def test_offcuts_count_together(below: float, word: str) -> None:
    """Two offcuts of 245 x 20 mm side by side: 49.0 cm3 in all at 5.0 mm, 51.9 cm3 at 5.3 mm."""
    slab = box((-2000, 740, -300 + below), (600, 840, -200))
    gap = box((245, 740, -400), (255, 840, -200))
    right = Cutter("boom_right", lambda *_: fuse([slab, gap], "boom", "knife"))
    try:
        said = notes(joined(fin(), [right, right.on_the_left()], "fin", "boom"))
    except GeometryError as error:
        said = error.problem
    assert word in said


@pytest.mark.parametrize(
    ("pieces", "knife", "family"),
    [
        pytest.param([wing()], cutter((400, -5000, -50), (600, 5000, 200)), "wing", id="spanwise"),
        pytest.param(
            [NamedSolid("boom_right", "boom", box((0, 750, 0), (1900, 850, 100)))],
            cutter((-50, 700, 20), (2000, 900, 80)),
            "boom",
            id="a cap off a boom",
        ),
        pytest.param(
            [NamedSolid("pod", "pod", box((0, -300, 0), (3000, 300, 800)))],
            cutter((1000, -400, -50), (1500, 400, 900)),
            "pod",
            id="a pod in two",
        ),
        pytest.param(
            [wing(half=False)], cutter((-10, 500, -50), (1100, 600, 200)), "wing", id="one side"
        ),
    ],
)
def test_what_nobody_wants_is_refused_with_sizes_places_keys_and_advice(
    pieces, knife: Cutter, family: str
) -> None:
    with pytest.raises(GeometryError) as caught:
        joined(pieces, [knife], family, "wing" if family != "wing" else "pod")
    error = caught.value
    assert "it falls into 2 pieces" in error.problem
    assert "(1) " in error.problem
    assert " mm, at STA " in error.problem
    assert error.problem.endswith(ADVICE)
    assert error.look_at == ["joints.3", "a.key"]


def test_a_part_wholly_inside_the_other_is_refused() -> None:
    knife = [cutter((-50, -5000, -50), (1100, 5000, 200), "pod")]
    with pytest.raises(GeometryError, match="whole part lies inside the pod"):
        joined([wing()], knife, "wing", "pod")


PYLON = [NamedSolid("pylon", "pylon", box((0, -20, 0), (500, 20, 600)))]


def test_of_a_pylon_the_piece_between_pod_and_wing_stays() -> None:
    """3 mm stand above the wing: 500 x 40 x 2 mm are a offcut."""
    knife = [cutter((-300, -4000, 400), (900, 4000, 598), "wing")]
    parts = joined(PYLON, knife, "pylon", "wing")
    assert size(parts["pylon"]) == pytest.approx(500 * 40 * 400)
    assert "offcuts" in notes(parts)


def test_a_pylon_that_stands_out_above_the_wing_is_refused() -> None:
    knife = [cutter((-300, -4000, 300), (900, 4000, 400), "wing")]
    with pytest.raises(GeometryError, match=r"a piece stands above the wing: \(1\) 4000 cm\^3"):
        joined(PYLON, knife, "pylon", "wing")


def test_a_joint_that_cuts_nothing_says_how_far_apart_the_parts_stand() -> None:
    knife = [cutter((-300, -4000, 650), (900, 4000, 700), "wing")]
    parts = joined(PYLON, knife, "pylon", "wing", "10 mm")
    assert size(parts["pylon"]) == pytest.approx(500 * 40 * 600)
    assert notes(parts) == (
        "pylon: the joint with the wing (joints.3) cuts nothing: they stand 50.0 mm apart"
    )


def test_of_a_part_that_meshes_cut_it_says_so_without_how_far() -> None:
    """Broken before: asked for how far, all first answers of the machine were lost."""
    with by_meshes(0.1):
        low = joined(PYLON, [cutter((-300, -4000, -50), (900, 4000, 50), "pod")], "pylon", "pod")
        assert isinstance(low["pylon"].solid, MeshPart)
        knife = [cutter((-300, -4000, 650), (900, 4000, 700), "wing")]
        parts = joined(list(low.values()), knife, "pylon", "wing", "10 mm")
    assert notes(parts).endswith("(joints.3) cuts nothing: they stand apart")
    assert parts["pylon"].solid.volume == pytest.approx(500 * 40 * 550)


def test_parts_of_a_family_that_are_cut_say_nothing_of_those_that_are_not() -> None:
    """The fore boom is not cut by the fin, the aft one is."""
    fore, aft = (
        NamedSolid(f"boom_{name}_right", "boom", box((x, 750, 0), (x + 900, 850, 100)))
        for name, x in (("fore", 0), ("aft", 2000))
    )
    parts = joined([fore, aft], [cutter((2800, 780, -50), (3000, 820, 400))], "boom", "fin")
    assert not notes(parts)
