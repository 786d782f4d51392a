"""States of a parameter file that were given a name, kept beside it as files of their own."""

import re
from pathlib import Path

from geomgen.errors import ParameterError
from geomgen.files.disk import disk_errors, write_bytes
from geomgen.parameters.file_text.source_text import LARGEST, read_bytes

# What a name may be, so that it is the same file name on every system.
NAME = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 _.-]{0,38}[A-Za-z0-9])?")
ALLOWED = "1 to 40 letters without accents, digits, spaces, dots, hyphens"


class NamedStates:
    """The states of one file, in the folder `NAME.states` beside it: plain parameter files.

    Who wants one no longer deletes its file.
    """

    def __init__(self, file: Path) -> None:
        self._folder = file.with_name(f"{file.stem}.states")

    def names(self) -> list[str]:
        """Return the names, the newest last."""
        try:
            found = [(path.stat().st_mtime, path.stem) for path in self._folder.glob("*.toml")]
        except OSError:
            return []
        return [name for _, name in sorted(found) if NAME.fullmatch(name)]

    def keep(self, name: str, raw: bytes) -> None:
        """Keep a file's bytes; ParameterError for a name that is taken or none."""
        path = self._path(name)
        if name.lower() in [known.lower() for known in self.names()]:
            raise ParameterError(
                f"there is a state {name} already", advice="give another name; that one stays"
            )
        with disk_errors(self._folder.name):
            self._folder.mkdir(exist_ok=True)
        write_bytes(path, raw)

    def body(self, name: str) -> bytes:
        """Return the bytes of a state; ParameterError where there is none of that name."""
        path = self._path(name)
        if name not in self.names():
            raise ParameterError(
                f"there is no state {name}", allowed=", ".join(self.names()) or "none was kept yet"
            )
        return read_bytes(path, LARGEST, "a state")

    def _path(self, name: str) -> Path:
        if not NAME.fullmatch(name):
            raise ParameterError("not a name for a state", written=name[:60], allowed=ALLOWED)
        return self._folder / f"{name}.toml"
