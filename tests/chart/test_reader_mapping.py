"""The mapping file: how a person tells, in TOML, what a logger's file leaves open."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traveler.chart.model import Told
from traveler.chart.reading.mapping_file import read_mapping, told_from_mapping, write_mapping
from traveler.errors import BadInput

FULL = Told(
    delimiter=";",
    decimal=",",
    header_line=12,
    time=("Date", "Clock"),
    time_form="date and time",
    date_order="dmy",
    zone="Europe/Berlin",
    unit="degC",
    missing=("n.c.",),
    couples=("TC1", "TC 2 (left)"),
    furnace=("Air",),
    spares={"TC1b": "TC1"},
    ignored=("Room",),
    method="hand-read",
)
WRITTEN = """\
delimiter = ";"
decimal = ","
header_line = 12
time = ["Date", "Clock"]
time_form = "date and time"
date_order = "dmy"
zone = "Europe/Berlin"
unit = "degC"
missing = ["n.c."]
couples = ["TC1", "TC 2 (left)"]
furnace = ["Air"]
ignored = ["Room"]
method = "hand-read"

[spares]
"TC1b" = "TC1"
"""


def test_a_mapping_file_tells_every_field() -> None:
    assert read_mapping(WRITTEN.encode()) == FULL
    assert write_mapping(FULL).decode() == WRITTEN


def test_an_empty_file_tells_nothing() -> None:
    assert read_mapping(b"") == Told()
    assert read_mapping(b"\xef\xbb\xbf# nothing yet\n") == Told()


def test_words_for_marks_and_units_and_one_text_for_a_list() -> None:
    told = read_mapping(
        'decimal = "comma"\nunit = "°F"\ncouples = "TC1"\nheader_line = "0"\ndelimiter = "tab"'.encode()
    )
    assert told == Told(decimal=",", unit="degF", couples=("TC1",), header_line=0, delimiter="tab")


WRONG = [
    (b"decimals = 1", 'mapping: the key "decimals" is not known; expected some of delimiter, decimal'),
    (b'encoding = "UTF-8"', 'the key "encoding" is not known'),
    (b"decimal = 1", "mapping, decimal: read 1; expected a text"),
    (b'decimal = ";"', "mapping, decimal: read ;; expected one of ., point"),
    (b'unit = "K"', "mapping, unit: read K; expected one of degc"),
    (b'unit = ""', "mapping, unit: read nothing; expected a text"),
    (b'method = "guess"', "mapping, method: read guess; expected one of logger"),
    (b"header_line = -1", "mapping, header_line: read -1; expected the number of a line"),
    (b"header_line = true", "mapping, header_line: read True"),
    (b"header_line = 1.5", "mapping, header_line: read 1.5"),
    (b'header_line = "x"', "mapping, header_line: read x"),
    (b"couples = [1]", "mapping, couples: read [1]; expected a list of texts"),
    (b"couples = 2026-03-01", "mapping, couples: read 2026-03-01"),
    (b'spares = ["TC1b"]', "mapping, spares: read ['TC1b']; expected a table"),
    (b"[spares]\nTC1b = 1", "expected a table of each spare"),
    (b"unit = degC", "mapping file: "),
    (b"\xff\xfe", "mapping file: read byte 0xFF at position 0; expected UTF-8"),
    (b'unit = "degC"\n' * 2, "mapping file: "),
    (b"a" * 70_000, "mapping file: read 70000 bytes; expected at most 65536"),
    (b".".join([b"a"] * 30_000) + b" = 1", "mapping file: read a key of dozens of parts"),
    (b"a = " + b"[" * 20_000, "mapping file: nested or long without end"),
    (b"a = " + b"1" * 20_000, "mapping file: nested or long without end"),
]


@pytest.mark.parametrize(("content", "sentence"), WRONG, ids=range(len(WRONG)))
def test_what_cannot_be_used_is_refused_in_a_sentence(content: bytes, sentence: str) -> None:
    with pytest.raises(BadInput) as refused:
        read_mapping(content)
    assert sentence in str(refused.value)
    assert len(str(refused.value)) < 300


def test_the_lists_of_a_stored_mapping() -> None:
    told = told_from_mapping(
        {"encoding": "UTF-8", "times": "x", "spares": ["a", "b"], "spare_for": ["c", "c"], "unit": "degC"}
    )
    assert told == Told(spares={"a": "c", "b": "c"}, unit="degC")


def test_half_a_character_cannot_be_written() -> None:
    with pytest.raises(BadInput, match="half a character"):
        write_mapping(Told(couples=("\ud800",)))


texts = st.text(st.characters(codec="utf-8"), min_size=1, max_size=12)
lists = st.lists(texts, max_size=3).map(tuple)


@pytest.mark.slow
@given(
    told=st.builds(
        Told,
        delimiter=st.one_of(st.none(), texts),
        decimal=st.sampled_from([None, ".", ","]),
        header_line=st.one_of(st.none(), st.integers(0, 99)),
        time=lists,
        missing=lists,
        couples=lists,
        spares=st.dictionaries(texts, texts, max_size=3),
        method=st.sampled_from(["logger", "hand-read", "crayon"]),
    )
)
def test_whatever_is_told_comes_back_from_the_file(told: Told) -> None:
    assert read_mapping(write_mapping(told)) == told
