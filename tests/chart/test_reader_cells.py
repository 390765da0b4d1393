"""What one cell may say, in every writing that loggers and spreadsheets have for it."""

import math

import pytest
from make_files import column, made, read, timed, values

from traveler.chart.model import Told
from traveler.errors import BadInput

# Constructed: what each cell says under a decimal comma, with a delimiter that leaves the comma to it.
COMMA = [
    ("595,4", 595.4), ("595,4 °C", 595.4), ("595,4°C", 595.4), ("595,4 C", 595.4), ("595,4°", 595.4),
    ("  595,4  ", 595.4), ("1 100,5", 1100.5), ("1\u00a0100,5", 1100.5), ("1\u202f100", 1100.0),
    ("1.100,5", 1100.5), ("1.100", 1100.0), ("1'100,5", 1100.5), ("+20,5", 20.5), ("-20,5", -20.5),
    ("\u221220,5", -20.5), ("5,954E+02", 595.4), ("1,1e3", 1100.0), (",5", 0.5), ("020,5", 20.5),
    ("20,123456789", 20.123456789), ("20", 20.0),
]  # fmt: skip


@pytest.mark.parametrize(("cell", "value"), COMMA)
def test_cells_under_a_decimal_comma(cell: str, value: float) -> None:
    assert values(read(column("20,5", cell, "21,5")))[1] == value


POINT = [
    ("595.4", 595.4), ("595.", 595.0), (".5", 0.5), ("1.100", 1.1), ("1,100.5", 1100.5),
    ("1,100", 1100.0), ("1 100.5", 1100.5), ("5.954E+02", 595.4), ("5.954e\u22121", 0.5954),
    ("595.40000000000001", 595.4), ("-0.0", 0.0), ("1’100.5", 1100.5),
]  # fmt: skip


@pytest.mark.parametrize(("cell", "value"), POINT)
def test_cells_under_a_decimal_point(cell: str, value: float) -> None:
    assert values(read(column("20.5", cell, "21.5")))[1] == value


NO_READING = [
    "", " ", "\u00a0", "-", "--", "---", "-----", "–", "—", "\u2212", "*", "****", "?", "...", "N/A",
    "n/a", "NA", "n.a.", "#N/A", "#NV", "#VALUE!", "#DIV/0!", "NaN", "nan", "-nan", "OPEN", "open",
    "Open TC", "OPN", "OVER", "OVR", "Over Range", "OL", "O.L", "+OL", "UNDER", "UDR", "ERR", "Error",
    "FAIL", "BURNOUT", "B.OUT", "burn out", "null", "None", "No data", "inf", "-inf", "Infinity",
    "+INF", "1.#INF", "1.#QNAN", "9999", "-9999", "9999.9", "1372", "1800", "-270", "-200", "32767",
    "-32768", "3276.7", "6553.5", "65535", "1e9", "1e999", "-1e999", "2 000", "1300.1", "-100.1",
]  # fmt: skip


@pytest.mark.parametrize("cell", NO_READING)
def test_words_and_numbers_that_mean_no_reading(cell: str) -> None:
    chart = read(column("20.5", cell, "21.5"))
    assert math.isnan(values(chart)[1])
    assert [note for note in chart.notes if note.startswith("TC1 has no reading on 1 row, on line 3 (")]


@pytest.mark.parametrize("cell", ["1300", "-100", "850", "1200", "0"])
def test_numbers_that_a_couple_on_steel_can_read(cell: str) -> None:
    assert values(read(column("20.5", cell, "21.5")))[1] == float(cell)


@pytest.mark.parametrize(
    ("cell", "value"), [("1372", 1372.0), ("1800", 1800.0), ("2372", 2372.0), ("-148", -148.0)]
)
def test_in_fahrenheit_the_same_numbers_are_temperatures(cell: str, value: float) -> None:
    """1372 °F is 744 °C, hotter than a relief but nothing that steel cannot be."""
    assert values(read(column("70.5", cell, "71.5", name="TC1 (°F)")))[1] == value


@pytest.mark.parametrize("cell", ["2372.1", "2502", "-328", "-454", "9999", "32767"])
def test_in_fahrenheit_the_ends_of_the_scale(cell: str) -> None:
    assert math.isnan(values(read(column("70.5", cell, "71.5", name="TC1 (°F)")))[1])


BROKEN = [
    "1_000", "٢٠", "２０", "20.5.1", "1,10", "abc", "=1+1", "=cmd|'/c calc'!A0", "@SUM(A1)", "0x20",
    "20 K", "20,5", "1,100,5", "1 10", "--5", "5-", "20 21", "True", "½", "x" * 5000, "(20)", "20..5",
]  # fmt: skip


@pytest.mark.parametrize("cell", BROKEN)
def test_what_is_no_number_and_no_word_is_refused_with_its_place(cell: str) -> None:
    with pytest.raises(BadInput, match=r"^line 3, column 2 \(TC1\): read \".*; expected ") as refused:
        read(column("20.5", cell, "21.5"))
    assert len(str(refused.value)) < 200


@pytest.mark.parametrize("cell", ["1700,20.5,21", "20.5.1", "1,10,5", "1_000"])
def test_before_any_mark_is_known_too(cell: str) -> None:
    with pytest.raises(BadInput, match=r"^line 3, column 2 \(TC1\): read \".*; expected a temperature"):
        read(column("20", cell, "21"))


@pytest.mark.parametrize("block", ["20", "20.5", "OPEN"])
def test_the_place_is_right_far_down(block: str) -> None:
    cells = [block] * 5000
    cells[4321] = "abc"
    with pytest.raises(BadInput, match=r"line 4323, column 2"):
        read(column(*cells))


def test_a_text_may_be_told_to_mean_no_reading() -> None:
    told = Told(missing=("n.c.", "850", "-17,8"))
    content = column("20,5", "N.C.", "850", "850,0", "-17,8", "21,5")
    found = values(read(content, told))
    assert [math.isnan(value) for value in found] == [False, True, True, True, True, False]
    assert read(content, told).mapping["missing"] == ["n.c.", "850", "-17,8"]
    with pytest.raises(BadInput, match=r"line 3, column 2 \(TC1\): read \"N\.C\.\".*missing"):
        read(content)


def test_a_unit_in_a_cell_must_be_that_of_the_chart() -> None:
    assert read(column("70 °F", "71 °F", "72 F", name="TC1")).unit == "degF"
    for name, told in (("TC1", Told()), ("TC1 (°F)", Told()), ("TC1", Told(unit="degF"))):
        with pytest.raises(BadInput, match=r'line 4, column 2 \(TC1\): read "22 °C" in a chart of °F'):
            read(column("70 °F", "71 °F", "22 °C", name=name), told)


def test_one_decimal_mark_for_the_whole_file() -> None:
    with pytest.raises(BadInput, match=r'line 4, column 2 \(TC1\): read "21,5"; expected the decimal point'):
        read(column("20.5", "21", "21,5"))
    late = ["20"] * 3000
    with pytest.raises(
        BadInput, match=r'line 3003, column 2 \(TC1\): read "21.5"; expected the decimal comma'
    ):
        read(column(*late, "20,5", "21.5"))


def test_a_mark_that_shows_late_holds_from_there_on() -> None:
    cells = [*["20"] * 3000, "20,5", "1.100", "1.100,25"]
    chart = read(column(*cells))
    assert values(chart)[-3:] == [20.5, 1100.0, 1100.25]
    assert chart.mapping["decimal"] == ","


def test_whole_numbers_need_no_mark() -> None:
    chart = read(column("20", "21", "1 100"))
    assert values(chart) == [20.0, 21.0, 1100.0]
    assert "decimal" not in chart.mapping


def test_three_decimals_show_their_mark_where_thousands_would_melt_it() -> None:
    """20.125 is no twenty thousand degrees; 1.100 after it is read alike."""
    assert values(read(column("20.125", "1.100"))) == [20.125, 1.1]
    assert values(read(column("0,125", "1,100"))) == [0.125, 1.1]


def test_values_are_the_decimals_as_typed() -> None:
    typed = [f"{tenths / 10:.1f}" for tenths in range(-999, 13000, 7)]
    assert [repr(value) for value in values(read(column(*typed)))] == typed


def test_each_couple_tells_what_it_lacks() -> None:
    rows = timed([["20", "OPEN", "9999", "OPEN"], ["20", "21", "22", ""]])
    notes = read(made(["Time", "TC1 (°C)", "TC2 (°C)"], rows)).notes
    assert "TC1 has no reading on 3 rows, the first on line 3 (OPEN, 9999)" in notes
    assert "TC2 has no reading on 1 row, on line 5 (empty cells)" in notes
