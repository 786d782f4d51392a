"""What is taken from the store is, to the last bit, what is made without one."""

from dataclasses import replace
from functools import partial

import pytest
from hypothesis import HealthCheck, given, settings
from strategies import edit_sequences, quick_edit_sequences

from geomgen.errors import GeometryError
from geomgen.regeneration import fingerprints, regenerating
from geomgen.regeneration.cache import FULL, GONE, BuildCache
from geomgen.regeneration.regenerating import regenerate
from geomgen.regeneration.store import Store
from geomgen.shapes.assembly import steps as all_steps

# In the test's own process: to start two others takes longer than these parts do.
bodies = partial(regenerating.bodies, jobs=1)
FEW = settings(
    max_examples=2,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


def only(monkeypatch, names):
    whole = all_steps.steps
    monkeypatch.setattr(
        all_steps,
        "steps",
        lambda p: [replace(s, last=s.last or s.name == "fin") for s in whole(p) if s.name in names],
    )


@pytest.fixture
def quick(monkeypatch):
    """Leave only parts that are made in a moment."""
    only(monkeypatch, ("boom", "prop_disc", "spinner", "wheels"))


@pytest.fixture
def several(monkeypatch):
    """Leave parts that are made quickly; return what builds them clean, each state once."""
    only(monkeypatch, ("boom", "fin", "prop_disc", "spinner", "wheels"))
    built = {}

    def clean(p):
        state = repr(p)
        if state not in built:
            built[state] = bodies(p)
        return built[state]

    return clean


@pytest.fixture
def jointed(monkeypatch):
    """Leave the fins, trimmed to the booms."""
    whole = all_steps.steps
    names = ("boom", "fin", "fin to boom")
    monkeypatch.setattr(all_steps, "steps", lambda p: [s for s in whole(p) if s.name in names])


def solids_of(state):
    from geomgen.kernel.brep.shape_bytes import shape_bytes
    from geomgen.kernel.meshes.mesh_bytes import mesh_bytes

    solids = {name: shape_bytes(solid) for name, solid in state.model.parts.items()}
    return solids, {name: mesh_bytes(made) for name, made in state.meshes.items()}


@given(sequence=quick_edit_sequences())
@FEW
def test_any_sequence_of_edits_gives_what_a_clean_build_gives(
    several, variant, tmp_path_factory, sequence
) -> None:
    """Edit after edit on one store, and at the end back to the start; each against a clean one."""
    store = Store(tmp_path_factory.mktemp("kept"))
    states = [sequence[: i + 1] for i in range(len(sequence))]
    for overrides in [[], *states, []]:
        # The ways of scoops that are not made take longer than all that is.
        p = variant(*overrides).model_copy(update={"scoops": ()})
        warm = bodies(p, store, jobs=2)
        clean = several(p)
        assert warm.fingerprints == clean.fingerprints
    assert warm.made == 0
    assert clean.kept == 0
    assert solids_of(warm) == solids_of(clean)


@pytest.mark.long
@given(sequence=edit_sequences())
@settings(FEW, max_examples=6)
def test_any_sequence_of_edits_of_the_whole_aircraft(variant, tmp_path_factory, sequence) -> None:
    """An edit that can't be built is refused in the same words too, and spoils nothing kept."""
    store = Store(tmp_path_factory.mktemp("kept"))
    for i in range(len(sequence)):
        p = variant(*sequence[: i + 1])
        assert outcome_of(p, store) == outcome_of(p, None)


def outcome_of(p, store):
    try:
        state = regenerate(p, store)
    except GeometryError as error:
        return str(error)
    return state.fingerprints, state.checks


def test_only_what_depends_on_it_is_made_again(quick, variant, tmp_path) -> None:
    store = Store(tmp_path)
    whole = bodies(variant(), store)
    assert whole.kept == 0
    assert bodies(variant(), store).made == 0
    longer = bodies(variant("spinner.length=190 mm"), store)
    # The spinner's step and its mesh; a new revision or air touches no part at all.
    assert longer.made == 2
    assert bodies(variant("flight.sound_speed=335 m/s", "revision=B"), store).made == 0
    # A speed is that of a state whose air is asked for: the places are told anew, no part.
    assert bodies(variant("flight.climb_speed=50 kt"), store).made == 1
    changed = {
        name for name, found in longer.fingerprints.items() if found != whole.fingerprints[name]
    }
    assert changed == {"spinner"}


def test_a_part_that_others_are_trimmed_to_moves_the_joint(jointed, variant, tmp_path) -> None:
    """The fins themselves stay; what is left of them, and the booms, are new."""
    store = Store(tmp_path)
    was = bodies(variant(), store)
    thicker = bodies(variant("booms.stations.4.height=90 mm"), store)
    assert all(thicker.fingerprints[n] != was.fingerprints[n] for n in was.fingerprints)
    # Booms, joint, and the meshes of four parts; the fins before the joint are kept.
    assert (thicker.made, thicker.kept) == (6, 2)
    assert thicker.fingerprints == bodies(variant("booms.stations.4.height=90 mm")).fingerprints


def test_a_finer_tolerance_makes_meshes_but_no_solids(quick, variant, tmp_path) -> None:
    store = Store(tmp_path)
    coarse = bodies(variant("output.mesh_tolerance=0.3 mm"), store)
    fine = bodies(variant("output.mesh_tolerance=0.2 mm"), store)
    assert fine.made == len(fine.fingerprints)
    for name, (solid, _) in fine.fingerprints.items():
        assert solid == coarse.fingerprints[name][0]
    assert all(m.deviation.largest <= 0.2 for m in fine.meshes.values())


def test_one_process_makes_what_two_make(quick, variant) -> None:
    assert bodies(variant()).fingerprints == bodies(variant(), jobs=2).fingerprints


def test_damaged_entries_are_noticed_and_made_again(quick, variant, tmp_path) -> None:
    store = Store(tmp_path)
    sound = bodies(variant(), store)
    files = sorted(path for path in tmp_path.rglob("*") if path.is_file())
    for number, path in enumerate(files):
        whole = bytearray(path.read_bytes())
        whole[-1 - number % 7] ^= 0x10
        path.write_bytes(whole)
    again = bodies(variant(), store)
    assert again.fingerprints == sound.fingerprints
    assert again.made > 0
    assert solids_of(again) == solids_of(sound)


@pytest.mark.long
def test_joints_in_another_order_are_other_joints(jointed, variant, tmp_path) -> None:
    """The fins' row of the file changes place with another's, and has another gap there."""
    store = Store(tmp_path)
    bodies(variant(), store)
    moved = ("joints.1.trim=fin", "joints.1.gap=5 mm", "joints.2.trim=tailplane")
    warm, clean = bodies(variant(*moved), store), bodies(variant(*moved))
    assert warm.fingerprints == clean.fingerprints
    assert warm.made > 0


def test_damaged_bodies_behind_sound_facts_are_made_again(quick, variant, tmp_path) -> None:
    """Several at once, met one after the other; afterwards all is kept again."""
    store = Store(tmp_path)
    sound = bodies(variant(), store)
    for solid, mesh in sound.fingerprints.values():
        for digest in (solid, mesh):
            path = store._path(digest)
            path.write_bytes(path.read_bytes()[:-1])
    again = bodies(variant(), store)
    assert solids_of(again) == solids_of(sound)
    for solid, _ in sound.fingerprints.values():
        store._path(solid).write_bytes(b"")
    bodies(variant("output.mesh_tolerance=0.2 mm"), store)
    assert bodies(variant("output.mesh_tolerance=0.2 mm"), store).made == 0


def test_a_store_that_fails_on_the_way_is_done_without(
    quick, variant, tmp_path, monkeypatch
) -> None:
    store = Store(tmp_path)
    put, left = Store.put, [6]

    def full(self, key, body):
        left[0] -= self is store
        return put(self, key, body) if self is not store or left[0] > 0 else False

    monkeypatch.setattr(Store, "put", full)
    made = bodies(variant(), store)
    assert left[0] <= 0
    assert made.fingerprints == bodies(variant()).fingerprints


def test_a_body_that_goes_away_in_the_middle_is_made_again(
    quick, variant, tmp_path, monkeypatch
) -> None:
    """Another process may clear the store between the look and the read."""
    store = Store(tmp_path)
    sound = bodies(variant(), store)
    gone = sound.fingerprints["boom_right"][0]
    was = BuildCache.body
    left = [1]

    def body(self, digest):
        if digest == gone and left:
            left.pop()
            store._path(digest).unlink(missing_ok=True)
        return was(self, digest)

    # A finer mesh needs the solid, which is kept.
    monkeypatch.setattr(BuildCache, "body", body)
    finer = bodies(variant("output.mesh_tolerance=0.09 mm"), store)
    assert not left
    assert finer.fingerprints["boom_right"][0] == gone


def test_another_program_takes_nothing(quick, variant, tmp_path, monkeypatch) -> None:
    store = Store(tmp_path)
    bodies(variant(), store)
    monkeypatch.setattr(fingerprints, "of_program", lambda: "another kernel")
    assert bodies(variant(), store).kept == 0


def test_a_part_that_can_not_be_built_says_what_to_look_at(monkeypatch, variant, tmp_path) -> None:
    only(monkeypatch, ("boom", "engine"))
    # Two boxes that share an edge alone: nothing of the file speaks against it.
    p = variant("engine.boxes.1.station=2520 mm", "engine.boxes.1.buttock_line=160 mm")
    for _ in range(2):
        with pytest.raises(GeometryError) as caught:
            bodies(p, Store(tmp_path))
        assert caught.value.look_at == ["engine.boxes", "engine.cylinders"]


def test_gone_is_told_apart_from_a_full_disk(tmp_path, monkeypatch) -> None:
    from geomgen.errors import FileWriteError

    kept = BuildCache(Store(tmp_path))
    with pytest.raises(FileWriteError) as caught:
        kept.body("00" * 32)
    assert caught.value.problem == GONE
    monkeypatch.setattr(Store, "put", lambda *_: False)
    with pytest.raises(FileWriteError) as caught:
        kept.keep_body(b"solid")
    assert caught.value.problem == FULL
