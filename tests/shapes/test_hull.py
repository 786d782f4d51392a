"""The hull and its openings: the half that is cut and doubled against the whole that is cut."""

from dataclasses import replace
from math import pi
from types import SimpleNamespace

import numpy as np
import pytest
from OCP.BRepCheck import BRepCheck_Analyzer
from solid_properties import mass_properties

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import moved
from geomgen.kernel.lofting.bodies import body
from geomgen.kernel.lofting.offsets import offset_skin
from geomgen.kernel.solids.properties import volume
from geomgen.kernel.solids.validity import validity
from geomgen.shapes import hull as hull_file
from geomgen.shapes.hull import (
    exit_openings,
    exit_rim,
    held_back,
    hull,
    inside_ends,
    opened,
    pod_body,
    pod_lines,
    twins,
)
from geomgen.shapes.scoop import breaks, passages


def shell_and_air(p):
    pod = pod_lines(p)
    air = [piece for index in range(len(p.scoops)) for piece in passages(p, pod, index)]
    return hull(p, pod, breaks(p, pod)), air


@pytest.mark.long
def test_opened_half_is_the_opened_whole(saltmarsh) -> None:
    shell, air = shell_and_air(saltmarsh)
    by_half, whole = opened(shell, air), opened(replace(shell, half=None), air)
    one, other = mass_properties(by_half.solid), mass_properties(whole.solid)
    assert by_half.half is not None
    assert whole.half is None
    assert one.volume == pytest.approx(other.volume, rel=1e-7)
    assert one.volume < mass_properties(shell.solid).volume - 1000.0
    assert one.centroid == pytest.approx(other.centroid, abs=1e-3)
    assert one.centroid[1] == pytest.approx(0.0, abs=1e-6)


@pytest.fixture(scope="module")
def plain_volume(saltmarsh):
    """Return the volume [mm3] of the closed hull in one band."""
    return volume(hull(saltmarsh, pod_lines(saltmarsh)).solid).value


def placed(scoop, name, mouth, length):
    return scoop.model_copy(
        update={
            "name": name,
            "mouth": mouth,
            "passage_length": length,
            "fairing_length": length + 150.0,
        }
    )


@pytest.mark.parametrize(
    "rows",
    [
        [(1850.0, 250.0), (1850.0, 300.0)],
        pytest.param([(1850.0, 250.0), (1800.0, 300.0)], marks=pytest.mark.long),
        pytest.param([(1800.0, 200.0), (2000.0, 200.0)], marks=pytest.mark.long),
        pytest.param([(1800.0, 200.0), (2010.0, 200.0)], marks=pytest.mark.long),
        pytest.param([(1850.0, 250.0), (1850.0 + 1e-7, 250.0)], marks=pytest.mark.long),
        pytest.param([(1850.0, 250.0), (1850.6, 249.5)], marks=pytest.mark.long),
        [(1820.0, 250.0), (1820.0, 250.0), (1820.3, 250.0), (2080.0, 250.0), (1830.0, 240.0)],
    ],
    ids=["mouth", "end", "end is mouth", "bands meet", "1e-7 mm", "half a millimetre", "five"],
)
def test_scoops_may_share_stations(saltmarsh, plain_volume, rows) -> None:
    """The skins stay what they are however many bands are asked for: the same volume."""
    scoops = tuple(placed(saltmarsh.scoops[0], f"s{i}", *row) for i, row in enumerate(rows))
    p = saltmarsh.model_copy(update={"scoops": scoops})
    pod = pod_lines(p)
    made = hull(p, pod, breaks(p, pod)).solid
    assert volume(made).value == pytest.approx(plain_volume, rel=1e-6)
    assert BRepCheck_Analyzer(made).IsValid()


@pytest.mark.long
def test_one_passage_alone_opens_one_side(saltmarsh) -> None:
    """With no mirror image the whole hull is cut, and its middle moves to the closed side."""
    shell, air = shell_and_air(saltmarsh)
    both = mass_properties(opened(shell, air).solid)
    right = mass_properties(opened(shell, air[:1]).solid)
    closed = mass_properties(shell.solid)
    assert right.centroid[1] < -1e-3
    assert closed.volume - right.volume == pytest.approx(
        (closed.volume - both.volume) / 2, rel=1e-6
    )


def drawn(nose, tail, radius=200.0, length=1000.0, wall=8.0):
    """Return records of a pod of revolution: a cylinder, an ellipse towards each round end."""
    turn = np.linspace(0.0, np.pi / 2, 9)
    run = 300.0
    x, r = np.array([400.0, 500.0, 600.0]), np.full(3, radius)
    if nose == "round":
        x, r = np.r_[run * (1 - np.cos(turn)), x], np.r_[radius * np.sin(turn), r]
    else:
        x, r = np.r_[0.0, x], np.r_[radius, r]
    if tail == "round":
        x = np.r_[x, length - run * (1 - np.cos(turn[::-1]))]
        r = np.r_[r, radius * np.sin(turn[::-1])]
    else:
        x, r = np.r_[x, length], np.r_[r, radius]
    rows = [
        SimpleNamespace(
            station=float(a),
            crown=float(b),
            keel=-float(b),
            breadth=2 * float(b),
            breadth_height=0.0,
            fullness_upper=2**0.5 - 1,
            fullness_lower=2**0.5 - 1,
        )
        for a, b in zip(x, r, strict=True)
    ]
    pod = SimpleNamespace(stations=rows, wall=wall, nose=nose, tail=tail)
    return SimpleNamespace(pod=pod, exit=None)


@pytest.mark.parametrize("tail", ["open", "flat"])
def test_flat_ends_are_walls_and_open_ends_are_open(tail) -> None:
    """A cylinder: pi R^2 L less pi (R - w)^2 times the length inside, to each end's own wall."""
    p = drawn("flat", tail)
    shell = hull(p, pod_lines(p))
    hollow = 1000.0 - 8.0 - (8.0 if tail == "flat" else 0.0)
    void = pi * 192.0**2 * hollow
    wanted = pi * 200.0**2 * 1000.0 - void
    # The inner skin is a spline through points round the circle: a wall true to 0.0005 mm.
    near = void * 2 * 0.0005 / 192.0
    assert mass_properties(shell.solid, 1e-9).volume == pytest.approx(wanted, abs=near)
    assert mass_properties(shell.half, 1e-9).volume == pytest.approx(wanted / 2, abs=near / 2)
    assert validity(shell.solid).problems == ()
    assert validity(shell.solid).shells == (2 if tail == "flat" else 1)


def test_round_tail_closes_the_hull() -> None:
    """Both ends round: the void inside has the outside's volume less the wall's, and no rim."""
    p = drawn("round", "round")
    pod = pod_lines(p)
    shell = hull(p, pod)
    assert validity(shell.solid).problems == ()
    assert validity(shell.solid).shells == 2
    whole, wall = mass_properties(pod_body(pod, 0.0), 1e-9), mass_properties(shell.solid, 1e-9)
    inner = offset_skin(pod.lines, 8.0, None, None, "pod")
    void = mass_properties(body(inner, "void"), 1e-9).volume
    assert wall.volume == pytest.approx(whole.volume - void, rel=1e-9)
    # Steiner, for a convex body: V - A w + M w^2 - 4/3 pi w^3, M the mean curvature's integral.
    skin = whole.area
    assert void < whole.volume - 0.97 * 8.0 * skin * (1 - 8.0 / 200.0)
    assert void > whole.volume - 8.0 * skin


def test_closed_tail_publishes_no_exit() -> None:
    for tail, count in (("open", 3), ("flat", 0), ("round", 0)):
        p = drawn("round", tail)
        p.propeller = SimpleNamespace(waterline=0.0, hub_diameter=100.0)
        assert len(exit_openings(p, pod_lines(p))) == count


def test_wall_thicker_than_a_bend_names_key_station_and_what_would_do() -> None:
    p = drawn("flat", "open", radius=40.0, wall=38.0)
    with pytest.raises(GeometryError, match=r"radius of 40.0 mm .* at most 36.4 mm") as refused:
        hull(p, pod_lines(p))
    assert refused.value.look_at[0] == "pod.wall"
    assert refused.value.look_at[1].startswith("pod.stations.")


def test_sharp_nose_is_solid_in_its_tip() -> None:
    """A tip that bends more tightly than the wall is thick is filled, not refused."""
    p = drawn("round", "open", wall=30.0)
    for row in p.pod.stations[1:8]:
        # A cone-like nose, with a tip of some 6 mm radius.
        row.crown = 200.0 * row.station / 300.0 + 10.0 * (1 - row.station / 300.0)
        row.keel, row.breadth = -row.crown, 2 * row.crown
    pod = pod_lines(p)
    first, _ = inside_ends(p, pod)
    assert first is not None
    assert first >= 30.0
    shell = hull(p, pod)
    assert validity(shell.solid).problems == ()


def test_unfair_lines_are_laid_and_told_of() -> None:
    """A mistyped figure in one crown: the pod is made, and the note names line and stations."""
    p = drawn("flat", "open")
    assert hull(p, pod_lines(p)).notes == ()
    rows = p.pod.stations
    rows[2].crown, rows[3].crown = 200.0 + 90.0, 200.0
    pod = pod_lines(p)
    (note,) = held_back(pod.lines)
    assert "crown, stations" in note
    assert "mm)" in note
    worst = pod.lines.held[0]
    assert worst.line == "crown"
    assert f"{worst.by:.1f} mm" in note


@pytest.mark.long
def test_scoops_that_are_called_right_and_left_are_no_twins(saltmarsh) -> None:
    """Two bodies of air named as a pair, one of them elsewhere: the whole hull is cut.

    The wall that each takes out is told by the centroid, which a doubled half has in the middle.
    """
    shell, air = shell_and_air(saltmarsh)
    right, left = air
    assert twins(right.solid, left.solid)
    aside = left.trimmed(moved(left.solid, (-60.0, 0.0, 0.0)))
    assert not twins(right.solid, aside.solid)
    cut = opened(shell, [right, aside])
    assert cut.half is None
    # 60 mm further aft the passage takes less, or more, out of the wall of its own side.
    assert abs(mass_properties(cut.solid).centroid[1]) > 1e-4


def test_only_a_tip_is_solid() -> None:
    """A tight bend behind a wide nose is refused by key and station: it is no tip."""
    p = drawn("round", "open", wall=12.0)
    rows = p.pod.stations
    shoulder = [(40.0, 190.0), (60.0, 196.0), (64.0, 200.0)]
    for row, (station, radius) in zip(rows[1:4], shoulder, strict=True):
        row.station, row.crown, row.keel, row.breadth = station, radius, -radius, 2 * radius
    del rows[4:9]
    with pytest.raises(GeometryError, match="has no room for a wall of 12 mm"):
        inside_ends(p, pod_lines(p))


@pytest.mark.parametrize("make", [hull, exit_rim])
def test_a_wall_without_room_is_named_whatever_is_made_of_it(monkeypatch, saltmarsh, make) -> None:
    """The bends are not looked at beforehand here: the surface itself finds no room."""
    monkeypatch.setattr(hull_file, "TIGHTEST", 0.0)
    last = saltmarsh.pod.stations[-1].model_copy(
        update={"fullness_upper": 0.85, "fullness_lower": 0.85}
    )
    tail = saltmarsh.pod.model_copy(
        update={"wall": 130.0, "stations": (*saltmarsh.pod.stations[:-1], last)}
    )
    p = saltmarsh.model_copy(update={"pod": tail})
    with pytest.raises(GeometryError, match="no room for a wall of 130 mm") as caught:
        make(p, pod_lines(p))
    assert caught.value.part == "pod"
    assert caught.value.look_at[0] == "pod.wall"
