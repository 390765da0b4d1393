"""What a file leaves open is asked, with the field of Told that settles it; telling it settles it."""

import pytest
from make_files import column, made, read, timed, values

from traveler.chart.model import Question, Told
from traveler.chart.unclear import Unclear


def asked(content: bytes, told: Told | None = None) -> Question:
    with pytest.raises(Unclear) as unclear:
        read(content, told)
    assert str(unclear.value) == unclear.value.question.sentence
    return unclear.value.question


def test_nothing_says_the_unit() -> None:
    content = column("20", "21", name="TC1")
    question = asked(content)
    assert (question.key, [answer for answer, _ in question.options]) == ("unit", ["degC", "degF"])
    assert read(content, Told(unit="degC")).unit == "degC"
    assert read(content, Told(unit="degF")).unit == "degF"


@pytest.mark.parametrize(
    "line", ["Ambient temperature: 70 °F", "Serial;C", "Units per page: 2", "Alarm at 700 °C"]
)
def test_a_unit_somewhere_else_says_nothing(line: str) -> None:
    assert asked(made(["Time", "TC1"], timed([["20", "21"]]), ";", above=[line, ""])).key == "unit"


def test_two_units_in_the_preamble_say_nothing() -> None:
    above = ["Unit: °C", "Unit: °F", ""]
    assert asked(made(["Time", "TC1"], timed([["20", "21"]]), ";", above=above)).key == "unit"


@pytest.mark.parametrize("room", ["68", "72.5", "80"])
@pytest.mark.parametrize("soak", ["1100", "1150", "1200"])
def test_a_celsius_header_over_a_room_and_a_soak_in_fahrenheit(room: str, soak: str) -> None:
    content = column(room, "640", soak, "300")
    question = asked(content)
    assert question.key == "unit"
    assert f"TC1 goes from {room} to {soak}" in question.sentence
    told = read(content, Told(unit="degF"))
    assert told.unit == "degF"
    assert "the header says another unit; read in °F as told" in told.notes
    assert read(content, Told(unit="degC")).unit == "degC"


def test_a_celsius_header_over_a_furnace_in_celsius_is_believed() -> None:
    """Normalizing from a room at 20 °C, and relief of a part that goes in warm: both exist."""
    assert read(column("20", "640", "1100")).unit == "degC"
    assert read(column("75", "640", "650")).unit == "degC"


def test_a_bare_k_is_a_type_of_couple_or_kelvin() -> None:
    content = column("20", "21", name="TC1 (K)")
    question = asked(content)
    assert question.key == "unit"
    assert "kelvin" in question.sentence
    assert values(read(content, Told(unit="degC"))) == [20.0, 21.0]


@pytest.mark.parametrize("delimiter", [",", ";"])
def test_a_comma_before_three_digits_parts_thousands_or_decimals(delimiter: str) -> None:
    content = column("998", "999", '"1,100"', name="TC1 (°F)", delimiter=delimiter)
    question = asked(content)
    assert question.key == "decimal"
    assert (
        'line 4, column 2 (TC1): "1,100" is 1100 with a decimal point and 1.1 with a decimal comma'
        in question.sentence
    )
    assert values(read(content, Told(decimal=".")))[2] == 1100.0
    assert values(read(content, Told(decimal=",")))[2] == 1.1


def test_a_point_before_three_digits_is_asked_about_even_far_down() -> None:
    content = column(*["998"] * 2000, "1.100", name="TC1 (°F)")
    assert "line 2002, column 2 (TC1)" in asked(content).sentence


@pytest.mark.parametrize("cell", ["9.999", "32.767", "65,535"])
def test_the_number_of_an_open_input_shows_no_mark(cell: str) -> None:
    content = column("998", "999", cell, name="TC1 (°F)")
    assert asked(content).key == "decimal"
    assert values(read(column("998.5", "999", cell, name="TC1 (°F)"), Told(decimal=".")))[0] == 998.5


def test_a_column_without_a_unit_beside_columns_that_have_one() -> None:
    content = made(["Time", "TC1 (°C)", "Output"], timed([["20", "21"], ["45", "46"]]))
    question = asked(content)
    assert (question.key, [answer for answer, _ in question.options]) == ("couples", ["TC1", "Output"])
    assert [channel.name for channel in read(content, Told(couples=("TC1",))).channels] == ["TC1"]
    chart = read(content, Told(ignored=("Output",)))
    assert [(channel.name, channel.role) for channel in chart.channels] == [
        ("TC1", "part"),
        ("Output", "ignored"),
    ]


@pytest.mark.parametrize("name", ["Humidity", "Battery", "Alarm", "Power", "Pressure", "Segment"])
def test_a_column_named_after_something_else(name: str) -> None:
    content = made(["Time", "TC1", name], timed([["20", "21"], ["45", "46"]]))
    assert asked(content, Told(unit="degC")).key == "couples"


@pytest.mark.parametrize("name", ["Furnace", "Air", "Set point", "Output", "Ambient"])
def test_without_any_unit_every_column_of_numbers_is_a_couple(name: str) -> None:
    chart = read(made(["Time", "TC1", name], timed([["20", "21"], ["45", "46"]])), Told(unit="degC"))
    assert [channel.role for channel in chart.channels] == ["part", "part"]
    assert (
        f"{name} is taken as a required part couple; if it is not on the part, name it as furnace or ignored"
        in chart.notes
    )


@pytest.mark.parametrize("cells", [["", ""], ["20", "cold"], ["x", "1"]])
def test_a_column_with_a_name_that_says_little_may_be_a_couple_without_readings(cells: list[str]) -> None:
    content = made(["Time", "TC1", "Left", "Remark"], timed([["20", "21"], cells, ["", ""]]))
    question = asked(content, Told(unit="degC"))
    assert (question.key, [answer for answer, _ in question.options]) == ("couples", ["TC1", "Left"])


def test_a_bare_k_beside_celsius_is_asked_about_too() -> None:
    content = made(["Time", "TC1 (°C)", "TC2 (K)"], timed([["20", "21"], ["293", "294"]]))
    assert asked(content).key == "unit"


def test_two_columns_of_stamps() -> None:
    rows = [[stamp, stamp.replace(" 08", " 09"), "20"] for stamp, _ in timed([["20", "20"]])]
    content = made(["Started", "Logged", "TC1 (°C)"], rows)
    question = asked(content)
    assert (question.key, [answer for answer, _ in question.options]) == ("time", ["Started", "Logged"])
    assert read(content, Told(time=("Logged",))).mapping["time"] == ["Logged"]


def test_a_stamp_goes_before_a_count_of_minutes_beside_it() -> None:
    rows = [[str(index), *row] for index, row in enumerate(timed([["20", "21", "22"]]))]
    content = made(["Elapsed (min)", "Logged", "TC1 (°C)"], rows)
    assert read(content).mapping["time"] == ["Logged"]
    assert [channel.name for channel in read(content).channels] == ["TC1"]


def test_numbers_that_rise_may_be_the_time() -> None:
    content = made(["Lap", "TC1 (°C)"], [["10", "20"], ["20", "25"], ["30", "30"]])
    assert asked(content).key == "time"
    told = Told(time=("Lap",), time_form="elapsed s")
    assert list(read(content, told).times_s) == [0.0, 10.0, 20.0]


def test_names_on_one_line_and_places_on_the_next() -> None:
    content = made(
        ["Time", "Zone 1", "Zone 2"], timed([["20", "21"], ["22", "23"]]), units=["", "TC1", "TC2"]
    )
    question = asked(content, Told(unit="degC"))
    assert (question.key, [answer for answer, _ in question.options]) == ("header_line", ["1", "2"])
    chart = read(content, Told(unit="degC", header_line=2))
    assert [channel.name for channel in chart.channels] == ["TC1", "TC2"]
    chart = read(content, Told(unit="degC", header_line=1))
    assert [channel.name for channel in chart.channels] == ["Zone 1", "Zone 2"]
    assert 'line 2, between the names and the readings, was not read: "TC1 TC2"' in chart.notes


def test_two_delimiters_that_fit_alike() -> None:
    content = b"Time;TC1\n0;20\n1;21\n" + b"a,b\n0,20\n1,21\n"
    question = asked(content, Told(unit="degC"))
    assert (question.key, [answer for answer, _ in question.options]) == ("delimiter", [",", ";"])
