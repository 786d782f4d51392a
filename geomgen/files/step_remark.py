"""A remark in the header of a STEP file, where a shop's program shows it (ISO 10303-21)."""

import re

from geomgen.errors import FileWriteError

# The longest string of a description [characters], as the standard's header section has it.
LONGEST = 256
DESCRIPTION = re.compile(rb"FILE_DESCRIPTION\(\(('(?:[^']|'')*')")


def remarked(file: bytes, words: str) -> bytes:
    """Return a STEP file with a further line of description, its geometry untouched.

    FileWriteError when the file has no description to add to, or the words are too long for one.

    >>> remarked(b"FILE_DESCRIPTION(('pod'),'2;1');", "it's a trial")
    b"FILE_DESCRIPTION(('pod','it''s a trial'),'2;1');"
    """
    line = encoded(words)
    found = DESCRIPTION.search(file)
    if found is None or len(line) > LONGEST:
        problem = "its header has no description" if found is None else "the remark is too long"
        raise FileWriteError(f"{problem}, so that no remark can stand in it", path="STEP header")
    return file[: found.end()] + b",'" + line + b"'" + file[found.end() :]


def encoded(words: str) -> bytes:
    r"""Return text as a string of the standard: quotes and backslashes twice, the rest of Unicode.

    >>> encoded("Prüfstück")
    b'Pr\\X2\\00FC\\X0\\fst\\X2\\00FC\\X0\\ck'
    """
    return "".join(_letter(letter) for letter in words).encode("ascii")


def _letter(letter: str) -> str:
    if letter in "'\\":
        return 2 * letter
    if " " <= letter <= "~":
        return letter
    code = ord(letter)
    return f"\\X2\\{code:04X}\\X0\\" if code < 0x10000 else f"\\X4\\{code:08X}\\X0\\"
