"""A remark in a STEP header: strings as ISO 10303-21 has them."""

import pytest

from geomgen.errors import FileWriteError
from geomgen.files.step_remark import encoded, remarked


def test_quotes_backslashes_and_letters_beyond_ascii():
    # ISO 10303-21: an apostrophe and a reverse solidus are doubled, \X2\ holds 16-bit letters.
    assert encoded("a'b\\c") == b"a''b\\\\c"
    assert encoded("é") == b"\\X2\\00E9\\X0\\"
    assert encoded("\U0001f6e9") == b"\\X4\\0001F6E9\\X0\\"


def test_a_header_with_a_quote_in_its_description():
    file = b"HEADER;\nFILE_DESCRIPTION(('it''s a pod, unit millimetre'),'2;1');\nDATA;"
    assert b"('it''s a pod, unit millimetre','why'),'2;1'" in remarked(file, "why")


def test_no_description_or_too_long_a_remark():
    with pytest.raises(FileWriteError, match="no description"):
        remarked(b"DATA;", "why")
    with pytest.raises(FileWriteError, match="too long"):
        remarked(b"FILE_DESCRIPTION(('pod'),'2;1');", "x" * 257)
