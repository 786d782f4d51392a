"""Kept answers: whose they are, first ones or exact ones."""

from types import SimpleNamespace

from geomgen.measurements.question import MeasurementQuestion
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
