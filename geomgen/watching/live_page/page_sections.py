"""The page's state by sections: what is being built, what is shown, what is wrong."""

import json
import threading
from collections.abc import Sequence
from typing import Any

from geomgen.pages.check_rows import verdict
from geomgen.verdicts.check import Check
from geomgen.verdicts.outcome import near_limit
from geomgen.watching.live_page.balance_block import balance_block
from geomgen.watching.live_page.changes import Change, changes
from geomgen.watching.live_page.first_rows import first_verdict
from geomgen.watching.live_page.page_state import PageState
from geomgen.watching.live_page.part_tables import part_rules
from geomgen.watching.live_page.state_results import (
    DrawnState,
    FirstJudged,
    Judged,
    Modelled,
    StateResult,
)


class PageSections:
    """Keeps the sections of the page's state; safe for threads.

    `revision` counts the states that were asked for. What is shown stays what it was until the
    next state brings its own: verdict, model and drawings each carry the revision they are of.
    """

    def __init__(self, state: PageState, file: str) -> None:
        self._state = state
        self._lock = threading.Lock()
        self._status: dict[str, Any] = {
            "file": file,
            "revision": 0,
            "phase": "starting",
            "step": "the kernel is being loaded",
            "builder": "",
            "undo": "",
            "redo": "",
            "undo_depth": 0,
            "redo_depth": 0,
            "states": [],
        }
        self._fields = self._views = 0
        self._opened: tuple[Check, ...] | None = None
        # The last verdict that was whole and exact, the checks and the revision that it is of.
        self._exact: dict[str, Any] | None = None
        self._checks: tuple[Check, ...] = ()
        self._of = 0
        self._send()
        for section in ("verdict", "changes", "balance", "error", "model", "drawings"):
            state.put(section, None)

    @property
    def busy(self) -> bool:
        """Say whether something is being made."""
        return str(self._status["phase"]) in ("building", "finishing")

    def building(self, revision: int, name: str, title: str, letter: str) -> None:
        """Show that a new state is wanted; the file is sound again."""
        self._state.put("error", None)
        self._send(revision=revision, phase="building", step="", name=name, title=title)
        self._send(letter=letter)

    def step(self, words: str) -> None:
        """Show what is being made."""
        self._send(step=words)

    def first_judged(self, made: FirstJudged) -> None:
        """Show the first answers about the state that is being built, beside what it was before."""
        revision = self._status["revision"]
        told = first_verdict(
            made.checks, made.notices, self._checks, revision, self._of, made.whole
        )
        self._state.put("verdict", {"revision": revision, **told})

    def judged(
        self,
        made: Judged,
        differ: Sequence[Change],
        waited: float,
        former: Sequence[Check] | None = None,
    ) -> None:
        """Show the checks of the state; `waited` is how long after the save they came [s].

        `former` are those of the state before, None for the first one.
        """
        revision = self._status["revision"]
        if self._opened is None:
            self._opened = tuple(made.checks)
        told = verdict(made.checks, made.notices)
        told["near"] = [check.id for check in made.checks if near_limit(check)]
        self._exact = {"revision": revision, **told}
        self._checks, self._of = tuple(made.checks), revision
        self._state.put("verdict", self._exact)
        rows = [change.as_dict() for change in differ]
        seconds = {"seconds": round(waited, 2), "building": round(made.seconds, 2)}
        counts = {"made": made.made, "kept": made.kept, "first": former is None}
        since = [change.as_dict() for change in changes(self._opened, made.checks)]
        told_rows = {"revision": revision, "rows": rows, "opened": since}
        self._state.put("changes", {**told_rows, **seconds, **counts})
        self._state.put("balance", balance_block(former or (), made.checks, made.envelope))
        self._send(phase="finishing", builder="")

    def made(self, made: StateResult) -> None:
        """Show the model or the drawings of the state."""
        revision = self._status["revision"]
        if isinstance(made, Modelled):
            self._state.keep({"model": made.text.encode("utf-8")})
            # The view of a state comes more than once.
            self._views += 1
            told = {"revision": revision, "first": made.first, "stamp": self._views}
            self._state.put("model", told)
        elif isinstance(made, DrawnState):
            # A page may still fetch the former ones: they are kept until there are new names.
            former = self._state.section("drawings")
            names = [f"drawing-{revision}-{i}" for i in range(len(made.drawings))]
            bodies = [drawing.svg.encode("utf-8") for drawing in made.drawings]
            self._state.keep(dict(zip(names, bodies, strict=True)))
            shown = [
                {"name": name, "caption": drawing.caption}
                for name, drawing in zip(names, made.drawings, strict=True)
            ]
            self._state.put("drawings", {"revision": revision, "shown": shown})
            if isinstance(former, dict) and former["revision"] != revision:
                self._state.drop(f"drawing-{former['revision']}-")

    def done(self) -> None:
        """Show that all of the state is made."""
        self._send(phase="ready", step="")

    def fields(self, rows: list[dict[str, Any]]) -> None:
        """Show the file's values as fields."""
        body = _packed(rows)
        if body == self._state.body("fields"):
            return
        self._fields += 1
        self._state.keep({"fields": body, "parts": _packed(part_rules(rows))})
        self._state.put("fields", {"stamp": self._fields})

    def refused(self, error: dict[str, Any]) -> None:
        """Show why the file is refused or can't be built; the last good state stays."""
        self._state.put("error", error)
        if error.get("error") != "parameter" or not self.busy:
            self._put_back()
            self._send(phase="refused", step="")

    def unfinished(self, error: dict[str, Any]) -> None:
        """Show why the model or the drawings are missing; the verdict of the state holds."""
        self._state.put("error", {**error, "checked": True})
        self._send(phase="unfinished", step="")

    def given_up(self) -> None:
        """Show that nothing is being made any more; what is wrong with the file stays shown."""
        self._put_back()
        self._send(phase="refused", step="")

    def mended(self) -> None:
        """Show that the file says again what is shown."""
        self._state.put("error", None)
        if not self.busy:
            self._send(phase="ready", step="")

    def lost(self, words: str) -> None:
        """Show that the builder was lost and replaced."""
        self._send(builder=words)

    def history(self, told: dict[str, Any]) -> None:
        """Show what can be taken back and made again, and the states with a name."""
        self._send(**told)

    def _put_back(self) -> None:
        """Show the last exact verdict again: of what can't be built no first answer counts."""
        if self._exact is not None:
            self._state.put("verdict", self._exact)

    def _send(self, **changed: Any) -> None:
        with self._lock:
            self._status.update(changed)
            self._state.put("status", dict(self._status))


def _packed(value: object) -> bytes:
    return json.dumps(value, allow_nan=False, separators=(",", ":")).encode("utf-8")
