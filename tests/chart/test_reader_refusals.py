"""Files that cannot be read end in one sentence with the place, and never in anything else."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from make_files import column, made, read, timed

from traveler.chart.model import Told
from traveler.chart.reading import reader
from traveler.errors import BadInput, TravelerError

GOOD = made(["Time", "TC1 (°C)", "TC2 (°C)"], timed([["20", "21", "22"], ["30", "31", "32"]]))

FILES = [
    (b"", "the file is empty"),
    (b"\n \r\n\t\n", "the file is empty"),
    (b"\xef\xbb\xbf", "the file is empty"),
    (b"\xff\xfe", "the file is empty|no row of readings"),
    (b"Time,TC1 (C)\n", "no row of readings was found"),
    (b"Time,TC1 (C)\n8:00,20\n", "read 1 row of readings; expected two at least"),
    (b"8:00,20\n", "read 1 row of readings|unit"),
    (b"\0" * 10_000_000, "line 1, character 1: read a NUL character"),
    (b"0" * 10_000_000, "line 1 is longer than 65536 characters"),
    (b"0\n" * 5_000_000, "no row of readings was found"),
    (b"%PDF-1.7\n1 0 obj\n", "this is a PDF"),
    (b"PK\x03\x04" + b"\x14\x00" * 500, "this is a spreadsheet or another zip archive"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 500, "this is a spreadsheet or another binary office file"),
    (b"\x89PNG\r\n\x1a\n" + b"\0" * 50, "this is a picture"),
    (b"\xff\xd8\xff\xe0\x00\x10JFIF", "this is a picture"),
    (b"<!DOCTYPE html><html><body>8:00,20</body></html>", "this is a web page"),
    (b"{\\rtf1 8:00,20}", "RTF"),
    (b"Time" + b",TC1" * 1_000_000, "line 1 is longer than 65536 characters"),
    (b",".join([b"8:00", *[b"1"] * 600]) + b"\n", "line 1 has 601 cells; expected at most 512 columns"),
    (GOOD + b"2026-03-01 08:03:00,2\x003,33\n", "line 5, character 22: read a NUL character"),
    (GOOD.replace("°".encode(), b"\xc2\xb0\x81", 1), "line 1: read byte 0x81"),
    (GOOD + b"2026-03-01 08:03:00,\x81,33\n", "line 5: read byte 0x81"),
    ("\ufeffTime,TC1".encode("utf-16-le") + b"\x00\xd8x", "line 1: read byte"),
    (GOOD + b"2026-03-01 08:03:00,23,33,43\n", "line 5 has 4 cells"),
    (GOOD + b"2026-03-01 08:03:00,abc,33\n", r"line 5, column 2 \(TC1\): read \"abc\""),
    (GOOD + b"2026-03-01 07:59:00,23,33\n", "line 5: the time runs backward"),
    (GOOD + b"2026-03-01 25:03:00,23,33\n", "line 5: the time .* cannot be read"),
    (GOOD + b"soon 12,23,33\n", r'line 5, column 1 \(Time\): read "soon 12"; expected a time such as 2026-03-01'),
    (GOOD + b",23,33\n", r'line 5, column 1 \(Time\): read ""; expected a time'),
    (GOOD + b'"2026-03-01 08:03:00,23,33\n', "line 5: a quotation mark opens a cell that does not end"),
    (made(["Time", "TC1 (°C)", "TC2 (°F)"], timed([["20", "21"]] * 2)), r"\(TC1\) is in °C and column 3 \(TC2\) in °F"),
    (made(["Time", "TC1 (kelvin)"], timed([["293", "294"]])), r"column 2 \(TC1\) is in kelvin; expected °C or °F"),
    (made(["Time", "Output (%)"], timed([["20", "21"]])), "no column of temperatures was found; the file has Output"),
    (made(["Step", "TC1 (°C)"], [["a", "20"], ["b", "21"]]), "no row of readings|no column of times"),
    (made(["No.", "TC1 (°C)"], [["1", "20"], ["2", "21"]]), "no column of times was found"),
    (b"Time,TC1,TC2\n8:00,20,5,21,5\n8:01,20,6,21,5\n", "line 2 has 5 cells, but line 1 names 3 columns"),
    (GOOD + "Time,TC2 (°C),TC1 (°C)\n".encode(), "line 5 names the columns in another way than line 1"),
    (GOOD + b"ERR,23,33\n", r'line 5, column 1 \(Time\): read "ERR"; expected a time'),
    (GOOD + b",OPEN,33\n", r'line 5, column 1 \(Time\): read ""; expected a time'),
    (GOOD + b"Zone 1,23,33\n", r'line 5, column 1 \(Time\): read "Zone 1"; expected a time'),
    (made(["Date", "TC1 (°C)"], [["2026-03-01", "20"], ["2026-03-02", "21"]]), "a date without a time"),
]  # fmt: skip


@pytest.mark.parametrize(("content", "sentence"), FILES, ids=range(len(FILES)))
def test_each_file_is_refused_in_a_sentence(content: bytes, sentence: str) -> None:
    with pytest.raises(TravelerError, match=sentence) as refused:
        read(content)
    assert len(str(refused.value)) < 400
    assert str(refused.value).isprintable()


TOLD = [
    (Told(couples=("TC9",)), 'couples: no column is named "TC9"; the file has TC1, TC2'),
    (Told(furnace=("Time",)), 'furnace: no column is named "Time"'),
    (Told(spares={"TC2": "TC8"}), 'spares: no column is named "TC8"'),
    (Told(couples=("TC1",), spares={"TC2": "TC2"}), "TC2 is a spare for TC2, which is no part couple"),
    (
        Told(couples=("TC1",), furnace=("tc1",)),
        '"tc1" is named as part and as furnace; expected one role a column',
    ),
    (Told(ignored=("TC1", "TC2")), "no part couple is left"),
    (Told(time=("Clock",)), 'time: no column is named "Clock"; the file has Time, TC1, TC2'),
    (Told(delimiter="x"), 'delimiter: read "x"; expected one of'),
    (Told(delimiter=";"), "no row of readings was found"),
    (Told(decimal="'"), 'decimal mark: read "\'"; expected . or ,'),
    (Told(header_line=7), "no row of readings was found below line 7"),
    (Told(header_line=999_999), "no row of readings was found below line 999999"),
]


@pytest.mark.parametrize(("told", "sentence"), TOLD, ids=range(len(TOLD)))
def test_what_was_told_must_fit(told: Told, sentence: str) -> None:
    with pytest.raises(BadInput) as refused:
        read(GOOD, told)
    assert sentence in str(refused.value)


def test_a_couple_in_another_unit_cannot_be_named() -> None:
    content = made(["Time", "TC1 (°C)", "Output (%)"], timed([["20", "21"]] * 2))
    with pytest.raises(BadInput, match=r"column 3 \(Output\) is no temperature, which a part couple must be"):
        read(content, Told(couples=("TC1", "Output")))


def test_too_many_values(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reader, "MOST_VALUES", 10_000)
    with pytest.raises(BadInput, match="more than 10000 temperatures"):
        read(column(*["20"] * 20_000))


def test_a_quoted_cell_over_a_line_end_among_readings() -> None:
    content = GOOD + b'"2026-03-01 08:03:00",23,"3\n3"\n2026-03-01 08:04:00,23,33\n'
    with pytest.raises(BadInput, match=r"line 5: a quotation mark"):
        read(content)
    far = column(*["20"] * 5000) + b'2026-03-09 08:03:00;"2\n3"\n'
    with pytest.raises(BadInput, match="line 5002: a quotation mark opens a cell that does not end"):
        read(far)


def outcome(content: bytes, told: Told | None = None) -> str:
    """The unit of the chart, or the sentence of the refusal; anything else is a fault of the reader."""
    try:
        return read(content, told).unit
    except TravelerError as refused:
        return str(refused)


TELLING = st.builds(
    Told,
    unit=st.sampled_from([None, "degC", "degF"]),
    decimal=st.sampled_from([None, ".", ","]),
    delimiter=st.sampled_from([None, ",", ";", "tab", "spaces", "two spaces"]),
    header_line=st.one_of(st.none(), st.integers(0, 5)),
)


@given(content=st.binary(max_size=400), told=TELLING)
def test_no_bytes_do_anything_but_answer_or_refuse(content: bytes, told: Told) -> None:
    assert outcome(content, told)


PIECES = st.sampled_from(
    [
        *("Time", "TC1", "No.", "(°C)", "°F", "(K)", "%", "sep=;", "Max", "OPEN", "-", "=", "٢", "'", '"'),
        *(",", ";", "\t", "|", " ", "  ", "\n", "\r\n", "\0", "\f", "\x85", "\u2028", "\u00a0"),
        *("1", "2", "3", "20.5", "21,5", "1,100", "8:00", "08:01:00", "2026-03-01"),
    ]
)


@given(pieces=st.lists(PIECES, max_size=60), told=TELLING, encoding=st.sampled_from(["utf-8", "utf-16"]))
def test_no_text_of_a_logger_s_pieces_does_either(pieces: list[str], told: Told, encoding: str) -> None:
    assert outcome("".join(pieces).encode(encoding), told)


@given(
    at=st.integers(0, len(GOOD) - 1),
    length=st.integers(0, 40),
    put=st.one_of(
        st.binary(max_size=5), st.lists(PIECES, max_size=4).map(lambda pieces: "".join(pieces).encode())
    ),
)
def test_no_damage_to_a_good_file_does_either(at: int, length: int, put: bytes) -> None:
    assert outcome(GOOD[:at] + put + GOOD[at + length :])
