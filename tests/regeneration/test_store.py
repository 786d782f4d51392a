"""Entries come back whole or not at all: damaged, torn, deleted, crowded out, by two at once."""

import multiprocessing
import os
import time

from geomgen.regeneration.store import Store, store_in

KEY, OTHER = "0a" * 32, "0b" * 32


def files(store):
    return [path for path in store.folder.rglob("*") if path.is_file()]


def test_what_was_put_comes_back_and_a_second_process_sees_it(tmp_path) -> None:
    store = Store(tmp_path)
    assert store.get(KEY) is None
    assert not store.has(KEY)
    assert store.put(KEY, b"solid")
    assert store.has(KEY)
    assert Store(tmp_path).get(KEY) == b"solid"


def test_every_damaged_byte_is_noticed_and_the_entry_dropped(tmp_path) -> None:
    store = Store(tmp_path)
    store.put(KEY, b"a solid of a few bytes")
    (path,) = files(store)
    sound = path.read_bytes()
    for at in range(len(sound)):
        path.write_bytes(sound[:at] + bytes([sound[at] ^ 1]) + sound[at + 1 :])
        assert store.get(KEY) is None
        assert not path.exists()
    for length in range(len(sound)):
        path.write_bytes(sound[:length])
        assert store.get(KEY) is None


def test_a_sound_entry_under_another_name_is_no_entry(tmp_path) -> None:
    store = Store(tmp_path)
    other = KEY[:-1] + ("0" if KEY[-1] != "0" else "1")
    store.put(KEY, b"solid")
    store._path(other).parent.mkdir(exist_ok=True)
    store._path(KEY).rename(store._path(other))
    assert store.get(other) is None
    assert not store._path(other).exists()


def test_the_longest_unused_go_first_and_the_bound_holds(tmp_path) -> None:
    store = Store(tmp_path, bound=10_000)
    keys = [f"{i:064x}" for i in range(20)]
    for i, key in enumerate(keys):
        store.put(key, bytes(900))
        os.utime(store._path(key), (i, i))
    store.get(keys[0])
    assert store.clear_to_bound() > 0
    assert store.size() <= store.bound
    assert store.get(keys[0]) is not None
    assert store.get(keys[1]) is None
    assert store.get(keys[-1]) is not None


def test_a_store_that_is_filled_clears_itself(tmp_path) -> None:
    store = Store(tmp_path, bound=20_000)
    for i in range(200):
        store.put(f"{i:064x}", bytes(1000))
    assert store.size() <= store.bound + 64 * 1100


def test_the_folder_may_be_deleted_at_any_time(tmp_path) -> None:
    import shutil

    store = store_in(tmp_path)
    store.put(KEY, b"solid")
    shutil.rmtree(store.folder)
    assert store.get(KEY) is None
    assert store.put(KEY, b"again")
    assert store.get(KEY) == b"again"


def test_a_folder_that_can_not_be_written_keeps_nothing_and_says_so(tmp_path) -> None:
    (tmp_path / "file").write_text("in the way")
    store = Store(tmp_path / "file" / "kept")
    assert not store.put(KEY, b"solid")
    assert store.get(KEY) is None
    assert store.size() == 0


def hammer(folder, seed, seconds, wrong) -> None:
    """Put, read and clear as fast as may be; what comes back must be what belongs to the key."""
    store = Store(folder, bound=60_000)
    until = time.monotonic() + seconds
    turn = seed
    while time.monotonic() < until:
        turn += 1
        key = f"{turn % 40:064x}"
        body = store.get(key)
        if body is not None and body != key.encode() * 50:
            wrong.value += 1
        store.put(key, key.encode() * 50)
        if turn % 17 == 0:
            store.clear_to_bound()


def test_two_processes_at_once_never_see_half_an_entry(tmp_path) -> None:
    context = multiprocessing.get_context("spawn")
    wrong = context.Value("i", 0)
    pair = [
        context.Process(target=hammer, args=(str(tmp_path), seed, 1.0, wrong)) for seed in (0, 20)
    ]
    for process in pair:
        process.start()
    for process in pair:
        process.join(30)
        assert process.exitcode == 0
    assert wrong.value == 0
    assert not [path for path in files(Store(tmp_path)) if path.name.startswith(".new-")]
