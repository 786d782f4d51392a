"""Records are kept line by line, read back, and told with their reasons."""

from strangers.outcome import SHUT, Outcome, append, read, table_row, told


def row(seed, outcome, message="", cpu=10.0):
    return Outcome("fair", seed, "solids", "t", "p", outcome, message, cpu=cpu)


def test_rows_come_back_and_the_last_one_counts(tmp_path):
    record = tmp_path / "deep" / "record.jsonl"
    assert list(read(record)) == []
    rows = [row(1, "built"), row(2, "hang"), row(2, "built")]
    for each in rows:
        append(record, each)
    with record.open("a") as file:
        file.write('{"grade": "fair", "se')
    assert list(read(record)) == [rows[0], rows[2]]


def test_reasons_are_counted_with_their_numbers_masked():
    text = told(
        [
            row(1, "built"),
            row(2, "refused", "scoop ear: at station 12.5 mm it bulges\n  step: a"),
            row(3, "refused", "scoop top: at station -7 mm it bulges"),
            row(4, "fault", "ValueError in a.py:b: poles", cpu=99.0),
        ]
    )
    assert text.splitlines()[0] == "1 built, 2 refused, 1 fault, of 4"
    assert "99.0 s at most" in text
    assert "2 refused: scoop *: at station # mm it bulges  [2 3]" in text
    assert "1 fault: ValueError in a.py:b: poles  [4]" in text


def test_states_of_the_program_are_told():
    mixed = [row(1, "built"), Outcome("fair", 2, "solids", "t", "q", "built")]
    assert "2 states of the program" in told(mixed)
    assert "states" not in told(mixed[:1])


def test_a_row_of_the_page_adds_up():
    words = table_row([row(3, "built"), row(1, "refused"), row(2, "hang", cpu=120)]).split("|")
    assert [word.strip() for word in words[1:-1]] == [
        *("fair", "1 to 3 (3)", "solids", "33.3 %", "33.3 %", "0", "1", "0", "0"),
        *("not looked at", "10 s, 120 s"),
    ]


def test_openings_that_are_shut_are_told():
    shut = Outcome("fair", 4, "whole", "t", "p", "built", cpu=9.0, checks={SHUT: 2})
    open_ = Outcome("fair", 5, "whole", "t", "p", "built", cpu=9.0, checks={SHUT: 0})
    assert "1 with an opening that is blocked or not closed all round  [4]" in told([shut, open_])
    assert "shut" not in told([open_])
    assert table_row([shut, open_]).split("|")[-3].strip() == "1"


def test_nothing_tried_is_said():
    assert told([]) == "nothing was tried"
