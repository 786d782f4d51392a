"""Kept answers: whose they are, first ones or exact ones."""

from types import SimpleNamespace

from geomgen.measurements.question import WAITING, MeasurementQuestion
from geomgen.regeneration.asking import Asking
from geomgen.regeneration.cache import BuildCache
from geomgen.regeneration.making import MadeModel
from geomgen.regeneration.store import Store

QUESTION = MeasurementQuestion("gap", lambda given: None, bodies=("boom",))
PARTS = MadeModel([{"name": "boom", "solid": "s"}], {"boom": "m"}, {}, [], {})


class Pool:
    """Answers at once what it is told to, and counts."""

    def __init__(self, answer: str) -> None:
        self.answer, self.asked = answer, 0

    def add(self, say, weight, message, done) -> None:
        self.asked += 1
        done(self.answer)


def told(store: Store, first: float | None, answer: str, question=QUESTION) -> tuple[int, float]:
    pool, found = Pool(answer), []
    making = SimpleNamespace(cache=BuildCache(store), first=first, pool=lambda: pool)
    Asking(making, PARTS)._ask(question, {}, found.append)
    return pool.asked, found[0]


def test_a_first_answer_of_a_whole_solid_is_not_taken_for_the_exact_one(tmp_path) -> None:
    """Meshed to 0.1 mm for the files too, both have the same solid and the same mesh."""
    store = Store(tmp_path)
    assert told(store, 0.1, "1.2") == (1, 1.2)
    assert told(store, None, "1.0") == (1, 1.0)
    assert told(store, 0.1, "0.0") == (0, 1.2)
    assert told(store, None, "0.0") == (0, 1.0)


def test_what_is_asked_of_solids_alone_is_asked_once(tmp_path) -> None:
    store, of_solids = Store(tmp_path), MeasurementQuestion("bulk", lambda given: None, ("boom",))
    assert told(store, 0.1, "1.0", of_solids) == (1, 1.0)
    assert told(store, None, "0.0", of_solids) == (0, 1.0)


def test_what_is_asked_of_parts_that_are_still_to_be_made_waits(tmp_path) -> None:
    found, pool = [], Pool("1.0")
    making = SimpleNamespace(cache=BuildCache(Store(tmp_path)), first=None, pool=lambda: pool)
    Asking(making, PARTS, lacking=["boom"])._ask(QUESTION, {}, found.append)
    assert (pool.asked, found) == (0, [WAITING])


def test_where_nothing_may_be_made_only_kept_answers_are_told(tmp_path) -> None:
    store, found, pool = Store(tmp_path), [], Pool("1.0")
    making = SimpleNamespace(cache=BuildCache(store), first=None, pool=lambda: pool)
    asking = Asking(making, PARTS, kept_only=True)
    asking._ask(QUESTION, {}, found.append)
    assert told(store, None, "1.5") == (1, 1.5)
    asking._ask(QUESTION, {}, found.append)
    assert (pool.asked, found) == (0, [WAITING, 1.5])


def test_urgent_subjects_are_asked_first_then_those_that_take_least(tmp_path) -> None:
    class Order:
        def __init__(self) -> None:
            self.jobs: list[tuple[float, str]] = []

        def add(self, words, weight, message, done) -> None:
            self.jobs.append((weight, words))

    pool = Order()
    making = SimpleNamespace(cache=BuildCache(Store(tmp_path)), first=0.1, pool=lambda: pool)
    asking = Asking(making, PARTS, urgent={2})
    asking._gathers = True
    weights = {"dear": 9.0, "small": 1.0, "other small": 2.0, "urgent": 7.0}
    for name, weight in weights.items():
        question = MeasurementQuestion(name, lambda given: None, ("boom",), weight=weight)
        asking._ask(question, {}, [].append)
    assert pool.jobs == []
    asking._gathers = False
    asking._rank({"dear": 0, "small": 1, "other small": 1, "urgent": 2})
    names = [words.removeprefix("measured: ") for _, words in sorted(pool.jobs, reverse=True)]
    assert names == ["urgent", "other small", "small", "dear"]
