"""One table in every form that loggers give it: the same numbers come out, however the bytes come in."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from make_files import column, made, named, read, timed, values

from traveler.chart.model import Told

TC1 = ["20.5", "310.25", "595.4"]
TC2 = ["21", "305", "-4.75"]
NAMES = ["Time", "TC1 (°C)", "TC2 (°C)"]
ROWS = timed([TC1, TC2])
COMMA_ROWS = [[stamp, *(cell.replace(".", ",") for cell in cells)] for stamp, *cells in ROWS]
FOUND = {"TC1": [20.5, 310.25, 595.4], "TC2": [21.0, 305.0, -4.75]}


def found(content: bytes, told: Told | None = None) -> dict[str, list[float]]:
    chart = read(content, told)
    assert list(chart.times_s) == [0.0, 60.0, 120.0]
    assert chart.unit == "degC"
    return {channel.name: list(channel.values) for channel in chart.channels}


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252", "latin-1"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r", "\r\r\n"])
def test_encodings_and_line_ends(encoding: str, end: str) -> None:
    assert found(made(NAMES, COMMA_ROWS, ";", encoding=encoding, end=end)) == FOUND


@pytest.mark.parametrize("order", ["utf-16-le", "utf-16-be"])
def test_both_byte_orders_by_their_mark(order: str) -> None:
    assert found("\ufeff".encode(order) + made(NAMES, ROWS, "\t", encoding=order)) == FOUND


def test_a_degree_sign_of_windows_far_below_ascii() -> None:
    content = made(["Time", "TC1", "TC2"], ROWS, ";", below=[";;20 °C by the wall"], encoding="cp1252")
    assert found(content, Told(unit="degC")) == FOUND


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("rows", [ROWS, COMMA_ROWS])
def test_delimiters_and_decimal_marks(delimiter: str, rows: list[list[str]]) -> None:
    quoted = [[f'"{cell}"' for cell in row] for row in rows]
    assert found(made(NAMES, quoted, delimiter)) == FOUND
    if delimiter != "," or rows is ROWS:
        assert found(made(NAMES, rows, delimiter)) == FOUND


@pytest.mark.parametrize(
    ("names", "told"),
    [("Time   TC1   TC2", "spaces"), ("Time   Part 1   TC 2", "two spaces")],
)
def test_runs_of_spaces(names: str, told: str) -> None:
    rows = [f"{stamp[11:]}   {one:>7}  {two:>7}  " for stamp, one, two in ROWS]
    chart = read("\n".join(["Course of the part", "", names, *rows, ""]).encode(), Told(unit="degC"))
    assert [list(channel.values) for channel in chart.channels] == list(FOUND.values())
    assert chart.mapping["delimiter"] == told


def test_a_rule_of_dashes_under_the_names() -> None:
    names = ["Time                 TC1_degC  TC2_degC", "-------------------  --------  --------"]
    rows = [f"{stamp}  {one:>8}  {two:>8}" for stamp, one, two in ROWS]
    assert found("\n".join([*names, *rows, ""]).encode()) == FOUND


PREAMBLE = ["Recorder 7", "Serial;12345", "Interval;60;s", "Started;2026-03-01 08:00:00", "Range;0;1300", ""]


@pytest.mark.parametrize("repeats", [0, 1, 6])
def test_names_on_line_1_to_40_below_a_preamble(repeats: int) -> None:
    chart = read(made(NAMES, ROWS, ";", above=PREAMBLE * repeats))
    assert chart.mapping["header_line"] == str(6 * repeats + 1)
    assert values(chart) == FOUND["TC1"]


def test_a_line_of_units_below_the_names() -> None:
    rows = [[*stamp.split(" "), *cells, "45,5"] for stamp, *cells in ROWS]
    chart = read(
        made(["Date", "Clock", "TC1", "TC2", "Valve"], rows, ";", units=["", "hh:mm:ss", "°C", "°C", "%"])
    )
    assert {channel.name: list(channel.values) for channel in chart.channels} == FOUND
    assert chart.mapping["time"] == ["Date", "Clock"]
    assert "not read as temperatures: Valve" in chart.notes


def test_a_line_of_units_with_other_words_in_it() -> None:
    rows = [[str(index), stamp, "0", *cells, "LLLL"] for index, (stamp, *cells) in enumerate(ROWS)]
    units = ["NO.", "time", "ms", "degC", "degC", "A1"]
    content = made(
        ["Number", "Date&Time", "ms", "CH1", "CH2", "Alarm1"], rows, units=units, above=["Range;;;;;", ""]
    )
    chart = read(content)
    assert [list(channel.values) for channel in chart.channels] == list(FOUND.values())
    assert [channel.name for channel in chart.channels] == ["CH1", "CH2"]


def test_names_that_are_units_but_for_the_time() -> None:
    chart = read(made(["Time", "°C", "°C"], ROWS))
    assert [channel.name for channel in chart.channels] == ["°C", "°C (2)"]


def test_time_and_unit_on_either_side_of_a_slash() -> None:
    chart = read(b"t/min;TC1/\xb0C\n0;20,5\n5;50,5\n")
    assert (list(chart.times_s), values(chart)) == ([0.0, 300.0], [20.5, 50.5])


@pytest.mark.parametrize(
    "says", ["Units: °C", "Unit;C", "Temperature unit;degC", "Temperatures in °C", "Temperature [°C]"]
)
def test_the_unit_may_stand_in_the_preamble(says: str) -> None:
    assert found(made(["Time", "TC1", "TC2"], ROWS, ";", above=["Recorder 7", says, ""])) == FOUND


def test_pages_with_their_names_again_and_a_summary_at_the_end() -> None:
    page = made(["Date", "TC1 °C", "TC2 °C"], ROWS[:2], above=["Page 1 of 2", ""])
    again = made(["Date", "TC1 °C", "TC2 °C"], ROWS[2:], above=["\fPage 2 of 2", ""])
    summary = b"\nMaximum,595.4,305\nMinimum,20.5,-4.75\nMean of 3,308.7,107.1\n\nEnd of report 2026-03-01\n"
    chart = read(page + again + summary)
    assert {channel.name: list(channel.values) for channel in chart.channels} == FOUND
    assert [note for note in chart.notes if "line" in note] == [
        "rows without a time and a temperature: 2, the first on line 6",
        "names of the columns that come again: 1, on line 8",
        "rows that sum up, labelled where the time would be: 3, the first on line 11",
    ]


def test_trailing_separators_and_short_rows() -> None:
    rows = [f"{','.join(row)}," for row in ROWS[:2]] + [ROWS[2][0] + ",595.4"]
    chart = read("\n".join([",".join(NAMES) + ",", *rows, ""]).encode())
    assert values(chart) == FOUND["TC1"]
    assert values(chart, "TC2")[:2] == [21.0, 305.0]
    assert math.isnan(values(chart, "TC2")[2])
    assert "short rows, whose missing cells are taken as no reading: 1, on line 4" in chart.notes


def test_a_last_line_that_breaks_off_is_left_out() -> None:
    """59 might have become 595.4: constructed, what a power cut leaves."""
    content = made(NAMES, ROWS) + b"2026-03-01 08:03:00,59"
    assert found(content) == FOUND
    assert "last line, which breaks off: 1, on line 5" in read(content).notes


def test_a_last_line_without_an_end_that_is_whole_counts() -> None:
    assert found(made(NAMES, ROWS).rstrip(b"\n")) == FOUND
    assert found(made(NAMES, ROWS) + b"\x1a") == FOUND


def test_names_that_hold_a_line_end_or_are_told_by_spreadsheets() -> None:
    rows = "\n".join(";".join(row) for row in COMMA_ROWS)
    content = f'sep=;\n"Time";"TC1\n(°C)";"TC2\n(°C)"\n{rows}\n'.encode()
    assert found(content) == FOUND
    assert read(content).mapping["header_line"] == "2"


def test_a_file_without_names() -> None:
    chart = read(made([], ROWS), Told(unit="degC"))
    assert values(chart, "column 3") == FOUND["TC2"]
    assert chart.mapping["header_line"] == "0"


def test_elapsed_seconds_under_their_name_and_a_sample_number_beside() -> None:
    rows = [[str(index), str(60 * index), *cells] for index, (_, *cells) in enumerate(ROWS)]
    chart = read(made(["No.", "Time (s)", "TC1 (°C)", "TC2 (°C)"], rows))
    assert {channel.name: list(channel.values) for channel in chart.channels} == FOUND
    assert chart.mapping["time"] == ["Time (s)"] or chart.mapping["time"] == ["Time"]
    assert list(chart.times_s) == [0.0, 60.0, 120.0]


@pytest.mark.parametrize(
    ("header", "name"),
    [
        ("TC1 [°C]", "TC1"), ("TC1 °C", "TC1"), ("TC1 (degC)", "TC1"), ("TC1_degC", "TC1"), ("TC1 deg. C", "TC1"),
        ("TC1 (Celsius)", "TC1"), ("TC1 (ºC)", "TC1"), ("TC1 ℃", "TC1"), ("Temp C", "Temp"),
        ("Temperature (C)", "Temperature"), ("TC1 (C) left", "TC1 left"),
        ("°C", "°C"), ("  TC1   left (°C)", "TC1 left"), ("TC1 in °C", "TC1"),
        ("TC1, °C (serial 1, input 2)", "TC1, °C (serial 1, input 2)"),
    ],
)  # fmt: skip
def test_headers_with_a_unit(header: str, name: str) -> None:
    chart = read(column("20", "21", "22", name=header))
    assert [(channel.name, chart.unit) for channel in chart.channels] == [(name, "degC")]


@pytest.mark.parametrize("header", ["TC1 (°F)", "TC1 [degF]", "TC1 Fahrenheit", "Temp. F", "TC1 (f)"])
def test_headers_in_fahrenheit(header: str) -> None:
    assert read(column("70", "71", name=header)).unit == "degF"


@pytest.mark.parametrize(
    "other", ["Output (%)", "Output %", "Loop [mV]", "Vacuum (mbar)", "Rise (°C/h)", "Valve (mA)"]
)
def test_columns_in_other_units_are_no_temperatures(other: str) -> None:
    chart = read(made(["Time", "TC1 (°C)", other], timed([["20", "21"], ["45", "46"]]), ";"))
    assert [channel.name for channel in chart.channels] == ["TC1"]


@pytest.mark.parametrize("letters", ["ABC", "CDE", "AC"])
def test_letters_in_brackets_may_be_places(letters: str) -> None:
    names = [f"TC ({letter})" for letter in letters]
    rows = timed([["20", "21"]] * len(names))
    chart = read(made(["Time", *names], rows), Told(unit="degC"))
    assert [channel.name for channel in chart.channels] == names


def test_a_torsion_bar_is_not_measured_in_bar() -> None:
    chart = read(made(["Time", "Torsion bar", "Arm (A)"], timed([["20", "21"]] * 2)), Told(unit="degC"))
    assert [channel.name for channel in chart.channels] == ["Torsion bar", "Arm (A)"]


def test_a_hand_read_chart_of_two_rows() -> None:
    chart = read(b"Time;Part\n8:00;20\n9:00;310\n", Told(unit="degC", method="hand-read"))
    assert (chart.method, chart.interval_s, values(chart, "Part")) == ("hand-read", 3600.0, [20.0, 310.0])


def test_rows_sent_twice_are_left_out() -> None:
    rows = timed([["20", "21", "OPEN", "23"]])
    chart = read(made(["Time", "TC1 (°C)"], [*rows[:3], rows[2], rows[3]]))
    assert list(chart.times_s) == [0.0, 60.0, 120.0, 180.0]
    assert values(chart)[3] == 23.0


def test_the_usual_interval_is_the_median() -> None:
    content = b"Time (s),TC1 (C)\n" + b"".join(b"%d,20\n" % at for at in (0, 10, 20, 30, 500))
    assert read(content).interval_s == 10.0


temperatures = st.integers(-990, 9990)  # up to 1300 °C a start at 60 to 100 would be asked about
words = st.sampled_from(
    ["", "-", "---", "N/A", "OPEN", "over", "#N/A", "NaN", "inf", "9999", "-9999", "6553.5"]
)
tables = (
    st.integers(1, 4)
    .flatmap(
        lambda width: st.lists(
            st.lists(st.one_of(temperatures, temperatures, words), min_size=width, max_size=width),
            min_size=2,
            max_size=12,
        )
    )
    .filter(lambda table: any(isinstance(cell, int) for row in table for cell in row))
)


@given(
    table=tables,
    form=st.sampled_from([(";", ","), (";", "."), (",", "."), ("\t", ","), ("\t", "."), ("|", ",")]),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"]),
    depth=st.integers(0, 39),
    units_below=st.booleans(),
    block=st.sampled_from([1, 7, 1 << 16]),
)
def test_any_table_in_any_form_comes_back(
    table: list[list[int | str]],
    form: tuple[str, str],
    encoding: str,
    depth: int,
    units_below: bool,
    block: int,
) -> None:
    delimiter, mark = form
    cells = [
        [
            f"{cell / 10:.1f}".replace(".", mark) if isinstance(cell, int) else cell.replace(".", mark)
            for cell in row
        ]
        for row in table
    ]
    names = [f"TC{index}" if units_below else f"TC{index} (°C)" for index in range(1, len(table[0]) + 1)]
    content = made(
        ["Time", *names],
        timed(list(zip(*cells, strict=True))),
        delimiter,
        above=[f"line {index}" for index in range(depth)],
        units=["hh:mm:ss", *["°C"] * len(names)] if units_below else (),
        encoding=encoding,
    )
    chart = read(content, block=block)
    for index, row in enumerate(table):
        for channel, cell in zip(chart.channels, row, strict=True):
            value = channel.values[index]
            assert value == cell / 10 if isinstance(cell, int) else math.isnan(value)


@given(block=st.integers(1, 400))
def test_the_size_of_the_blocks_changes_nothing(block: int) -> None:
    content = made(NAMES, COMMA_ROWS, ";", above=["Ofen Süd"], encoding="utf-16", end="\r\n")
    whole, parts = read(content), read(content, block=block)
    assert (parts.sha256, parts.mapping, parts.notes) == (whole.sha256, whole.mapping, whole.notes)
    assert named(parts, "TC1").values == named(whole, "TC1").values
