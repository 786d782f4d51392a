"""`watch`: a parameter file is built anew each time it is saved; a live page shows the state."""

import threading
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import wait
from pathlib import Path
from typing import Any

from geomgen.errors import ParameterError
from geomgen.files.disk import check_writable
from geomgen.parameters import Parameters, fingerprint, load
from geomgen.parameters.editing.field_list import fields_of
from geomgen.parameters.reading.inheritance import read_with_bases
from geomgen.parameters.reading.loading import records_of
from geomgen.parameters.reading.overrides import apply
from geomgen.parameters.reading.refusal import SET, ManyParametersError
from geomgen.verdicts.check import Check
from geomgen.watching.builder import Builder, Message, Stages
from geomgen.watching.file_editor import ParameterFileEditor
from geomgen.watching.file_watcher import FileWatcher
from geomgen.watching.live_page.changes import Change, changes
from geomgen.watching.live_page.page_sections import PageSections
from geomgen.watching.live_page.page_state import PageState
from geomgen.watching.live_page.state_results import FirstJudged, Judged, StateResult
from geomgen.watching.stages import stages

# How often the files are looked at [s]; a save that is refused is tried again after so long,
# for an editor may be in the middle of it; a file that is gone may come back within the last.
LOOK, HALF_SAVED, GONE = 0.05, 0.2, 0.6
# So often a builder may be lost over the same state.
LOSSES = 2


@dataclass(frozen=True)
class WatchEvent:
    """Something to print, with what applies to its `kind`; `seconds` [s] it took.

    The kinds: first (answers by meshes, the final ones of them), built, refused, unfinished (after
    the verdict), lost, same (only the text differs), mended (a broken edit was taken back).
    """

    kind: str
    revision: int
    checks: tuple[Check, ...] = ()
    changes: tuple[Change, ...] = ()
    seconds: float = 0.0
    made: int = 0
    kept: int = 0
    error: dict[str, Any] | None = None
    words: str = ""


Tell = Callable[[WatchEvent], None]


class Watch:
    """The watch over one file: call `step` again and again, `stop` at the end.

    `stages` is what the builder's process does with a state.
    """

    def __init__(
        self,
        file: Path,
        overrides: Sequence[str],
        out: Path,
        tell: Tell,
        stages: Stages = stages,
    ) -> None:
        self.state = PageState()
        self.sections = PageSections(self.state, file.name)
        self.editor = ParameterFileEditor(file, overrides, self._edited)
        self.builder = Builder(stages, out)
        self._file, self._overrides, self._tell = file, tuple(overrides), tell
        self._watcher = FileWatcher(file)
        self._retry_at: float | None = None
        self._looked = self._saved = 0.0
        self._job = self._losses = self._checked = 0
        self._wanted = ""
        self._unreadable = False
        self._built: tuple[Check, ...] | None = None
        self._edited()

    def step(self, seconds: float = LOOK) -> None:
        """Wait for the builder for at most so long [s], then look at the files."""
        with suppress(OSError):
            wait([self.builder.pipe], seconds)
        for message in self.builder.messages():
            self._take(message)
        now = time.monotonic()
        if now - self._looked < LOOK:
            return
        self._looked = now
        if self._watcher.look(now):
            self._saved = now
            self._retry_at = None
            self._read(now, now + (GONE if self._watcher.missing else HALF_SAVED))
        elif self._retry_at is not None and now >= self._retry_at:
            self._read(now, None)

    def stop(self) -> None:
        """End the builder and all streams."""
        self.state.close()
        self.builder.stop()

    def _edited(self) -> None:
        self.sections.history(self.editor.history)

    def _read(self, now: float, again: float | None) -> None:
        """Read the file; a refusal is shown at once when it is not to be tried `again`."""
        self._retry_at = None
        try:
            tables, origins = read_with_bases(self._file)
            apply(tables, origins, list(self._overrides))
            p = records_of(tables, origins, self._file.parent)
        except ParameterError as error:
            if again is not None:
                self._retry_at = again
                return
            self._unreadable = True
            self._refused(error.as_dict())
            return
        mended, self._unreadable = self._unreadable, False
        self.sections.fields([field.as_dict() for field in fields_of(p, tables, origins)])
        self._build(p, "mended" if mended else "same")

    def _build(self, p: Parameters, idle: str) -> None:
        """Ask for a state; with nothing to build tell of it as `idle`."""
        wanted = fingerprint(p)
        if wanted == self._wanted:
            self.sections.mended()
            self._tell(WatchEvent(idle, self._job))
            return
        self._wanted = wanted
        self._job += 1
        self._losses = 0
        self.sections.building(self._job, p.name, p.title, p.revision)
        self.builder.build(self._job, p)

    def _refused(self, error: dict[str, Any]) -> None:
        self.sections.refused(error)
        self._tell(WatchEvent("refused", self._job, error=error))

    def _take(self, message: Message) -> None:
        if message.kind == "lost":
            self._lost(str(message.body))
        elif message.job != self._job:
            return
        elif message.kind == "step":
            self.sections.step(str(message.body))
        elif message.kind == "made":
            self._made(message.body)
        elif message.kind == "done":
            self.sections.done()
        elif message.kind == "refused":
            self._failed(message.body)

    def _failed(self, error: dict[str, Any]) -> None:
        """Show why the state was given up by its builder."""
        # The same text saved again is to be tried again.
        self._wanted = ""
        if self._unreadable:
            # What is wrong with the file as it stands now counts for more than a former state.
            self.sections.given_up()
        elif self._checked == self._job:
            self.sections.unfinished(error)
            self._tell(WatchEvent("unfinished", self._job, error=error))
        else:
            self._refused(error)

    def _made(self, made: StateResult) -> None:
        if isinstance(made, Judged):
            former = self._built
            differ = changes(former, made.checks) if former is not None else ()
            waited = time.monotonic() - self._saved
            self.sections.judged(made, differ, waited, former)
            self._built, self._checked = made.checks, self._job
            event = WatchEvent(
                "built", self._job, made.checks, differ, waited, made.made, made.kept
            )
            self._tell(event)
        elif isinstance(made, FirstJudged):
            self.sections.first_judged(made)
            if not made.whole:
                return
            waited = time.monotonic() - self._saved
            told = tuple(one.check for one in made.checks if one.final)
            words = f"{len(made.checks) - len(told)} to come"
            self._tell(WatchEvent("first", self._job, told, seconds=waited, words=words))
        else:
            self.sections.made(made)

    def _lost(self, why: str) -> None:
        self._losses += 1
        again = self._losses <= LOSSES and self.sections.busy
        words = f"the builder {why}; another one was started"
        self.sections.lost(words)
        self._tell(WatchEvent("lost", self._job, words=words))
        if not again and self.sections.busy:
            problem = f"the builder was lost {self._losses} times over this state"
            advice = "change the file; the state is not tried again until it is saved"
            self._failed({"error": "fault", "problem": problem, "advice": advice})
        self.builder.restart(again)


def _check_overrides(file: Path, overrides: Sequence[str]) -> None:
    """Raise what is wrong with the overrides by themselves: no save of the file can mend that."""
    try:
        load(file, overrides)
    except ParameterError as error:
        several = error.errors if isinstance(error, ManyParametersError) else [error]
        for one in several:
            if one.file == SET:
                raise one from error


def watch(
    path: str | Path,
    overrides: Sequence[str] = (),
    out: str | Path = "out",
    *,
    port: int | None = None,
    page: bool = True,
    tell: Tell = lambda _: None,
    opened: Callable[[str], None] = lambda _: None,
    stages: Stages = stages,
    until: threading.Event | None = None,
) -> None:
    """Build a parameter file each time it is saved, until `until` is set or Ctrl-C is pressed.

    `tell` hears of each outcome, `opened` the address of the page. ParameterError when there is no
    such file at the start, and for overrides that no file can take; FileWriteError when the port
    asked for is taken.
    """
    file = Path(path)
    if not file.is_file():
        # A file that goes away later may come back; one that never was is a slip of the pen.
        read_with_bases(file)
    _check_overrides(file, overrides)
    check_writable(Path(out))
    watching = Watch(file, overrides, Path(out), tell, stages)
    server = None
    try:
        if page:
            from geomgen.watching.live_page.server import PageServer

            server = PageServer(watching.state, watching.editor, file.name, port)
            server.start()
            opened(server.address)
        while until is None or not until.is_set():
            watching.step()
    finally:
        if server is not None:
            server.stop()
        watching.stop()
