"""Everything that can go wrong, in one family; a failed check is data, never an error."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


class GeomgenError(Exception):
    """Base of all errors that a user of geomgen can meet.

    `exit_code` is what the command line returns for it.

    >>> GeomgenError("no such thing").exit_code
    3
    """

    exit_code = 3


class ParameterError(GeomgenError, ValueError):
    """The input is refused: what was written, where, what is allowed, what to do.

    >>> print(ParameterError("no unit", key="pod.wall", written="3", allowed="a length"))
    pod.wall: no unit
      written: 3
      allowed: a length
    """

    exit_code = 2

    def __init__(
        self,
        problem: str,
        *,
        file: str | Path | None = None,
        key: str = "",
        line: int | None = None,
        written: str | None = None,
        allowed: str | None = None,
        advice: str | None = None,
    ) -> None:
        self.problem = problem
        self.file = Path(file).name if file is not None else None
        self.key = key
        self.line = line
        self.written = written
        self.allowed = allowed
        self.advice = advice
        super().__init__(self._text())

    def _text(self) -> str:
        place = self.file or ""
        if self.line is not None:
            place += f", line {self.line}" if place else f"line {self.line}"
        head = ": ".join(part for part in (place, self.key, self.problem) if part)
        rows = [("written", self.written), ("allowed", self.allowed), ("do", self.advice)]
        return "\n".join([head, *(f"  {name}: {text}" for name, text in rows if text)])

    def as_dict(self) -> dict[str, object]:
        """Return the same message as named fields, for `--json`."""
        return {
            "error": "parameter",
            "problem": self.problem,
            "file": self.file,
            "key": self.key,
            "line": self.line,
            "written": self.written,
            "allowed": self.allowed,
            "advice": self.advice,
        }


class GeometryError(GeomgenError, RuntimeError):
    """A solid can't be built: which part, at which step, which keys to look at.

    >>> print(GeometryError("the walls meet", part="pod", step="inner wall", look_at=["pod.wall"]))
    pod: the walls meet
      step: inner wall
      look at: pod.wall
    """

    exit_code = 3

    def __init__(
        self, problem: str, *, part: str = "", step: str = "", look_at: list[str] | None = None
    ) -> None:
        self.problem = problem
        self.part = part
        self.step = step
        self.look_at = list(look_at or [])
        head = f"{part}: {problem}" if part else problem
        rows = [("step", step), ("look at", ", ".join(self.look_at))]
        super().__init__("\n".join([head, *(f"  {name}: {text}" for name, text in rows if text)]))

    def as_dict(self) -> dict[str, object]:
        """Return the same message as named fields, for `--json`."""
        return {
            "error": "geometry",
            "problem": self.problem,
            "part": self.part,
            "step": self.step,
            "look_at": self.look_at,
        }


@contextmanager
def looking_at(*keys: str) -> Iterator[None]:
    """Name the keys to look at in every GeometryError of a block that names none itself.

    >>> try:
    ...     with looking_at("pod.wall"):
    ...         raise GeometryError("the walls meet", part="pod")
    ... except GeometryError as error:
    ...     error.look_at
    ['pod.wall']
    """
    try:
        yield
    except GeometryError as error:
        if error.look_at:
            raise
        raise GeometryError(
            error.problem, part=error.part, step=error.step, look_at=list(keys)
        ) from error


class FileWriteError(GeomgenError, OSError):
    """A file can't be written, or what was written does not prove right when read back.

    >>> print(FileWriteError("disk full", path="pod.stl", advice="free some space"))
    pod.stl: disk full
      do: free some space
    """

    exit_code = 4

    def __init__(self, problem: str, *, path: str | Path = "", advice: str = "") -> None:
        self.problem = problem
        self.path = str(path)
        self.advice = advice
        head = f"{self.path}: {problem}" if self.path else problem
        super().__init__(head + (f"\n  do: {advice}" if advice else ""))

    def __str__(self) -> str:
        """Return the message (OSError would print its own form)."""
        return str(self.args[0])

    def as_dict(self) -> dict[str, object]:
        """Return the same message as named fields, for `--json`."""
        return {
            "error": "file",
            "problem": self.problem,
            "path": self.path,
            "advice": self.advice,
        }
