"""Arc energy from what is typed, against the definition and the inch form of ASME IX QW-409.1."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traveler.quantity.arc_typed import arc_energy, parse_arc_energy
from traveler.quantity.parse import LONGEST, QuantityError, stored
from traveler.quantity.quantity import compare


@pytest.mark.parametrize(
    "text",
    [
        # TIG, U I / v: 12 V x 150 A / 1.5 mm/s = 1200 J/mm
        "12 V 150 A 1.5 mm/s",
        "12 V 150 A 90 mm/min",
        "90 mm/min 150 A 12 V",
        "12V x 150A, 9 cm/min",
        "12 volts; 150 amps; 0.09 m/min",
        "12Vx150Ax90mm/min",
        "12 V × 150 A × 90 mm/min",
        " 12\u00a0V , 150 A , 90 mm / min ",
        "1.2 kJ/mm",
    ],
)
def test_three_quantities_in_any_order(text: str) -> None:
    energy = parse_arc_energy(text)
    assert energy.number == Fraction("1.2")
    assert (energy.text, energy.unit.symbol) == ("1.2", "kJ/mm")


@pytest.mark.parametrize(("volts", "amps", "inches"), [(12, 150, "4"), (24, 200, "12.5"), (10, 75, "2-1/2")])
def test_inch_form(volts: int, amps: int, inches: str) -> None:
    """ASME IX QW-409.1(a): heat input in J/in = volts x amps x 60 / travel in in/min."""
    energy = parse_arc_energy(f"{volts} V {amps} A {inches} ipm")
    travel_in_per_min = stored(inches, "in/min").number
    joules_per_inch = volts * amps * 60 / travel_in_per_min
    assert energy.canonical == stored(str(joules_per_inch), "J/in").canonical


@pytest.mark.parametrize(
    ("text", "joules", "millimetres"),
    [
        # ASME IX QW-409.1(c): instantaneous energy over the length of the run, or power times arc time over it.
        ("12 kJ 80 mm", 12000, 80),
        ("80 mm, 12000 J", 12000, 80),
        ("2.1 kW 6 s 12 mm", 2100 * 6, 12),
        ("2100 W x 0.1 min x 12 mm", 2100 * 6, 12),
        ("2.1 kW 90 mm/min", 2100 * 60, 90),
    ],
)
def test_what_a_waveform_power_source_shows(text: str, joules: int, millimetres: int) -> None:
    assert parse_arc_energy(text).number == Fraction(joules, 1000 * millimetres)


def test_plain_arc_energy_keeps_its_text_and_unit() -> None:
    energy = parse_arc_energy("25 kJ/in")
    assert (energy.text, energy.unit.symbol) == ("25", "kJ/in")
    assert energy.canonical == Fraction(25) / Fraction("25.4")


def test_text_without_an_end_is_cut_downward_and_the_number_is_not() -> None:
    energy = parse_arc_energy("12 V 150 A 70 mm/min")
    assert energy.number == Fraction(54, 35)  # 1.54285714...
    assert energy.text == "1.5428"
    assert compare(energy, stored("1.5428", "kJ/mm")) == 1


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "nothing was typed"),
        ("12 V", "V is not a unit of arc energy"),
        ("12 V 150 A", "travel speed missing"),
        ("12 V 150 A 90 mm/min 3 s", "4 quantities were read"),
        ("12 kJ", "kJ is not a unit of arc energy"),
        ("12 kJ 80 mm 6 s", "3 quantities were read that make no arc energy"),
        ("12 kJ 0 mm", "length must be greater than zero"),
        ("12 V 12 V 90 mm/min", "current missing"),
        ("12 V 150 A 3 mm", "3 quantities were read that make no arc energy"),
        ("12 V 150 A 90", "90 is no part of an arc energy"),
        ("12 150 90", "is not a plain number"),
        ("12,5 V 150 A 90 mm/min", "so write 12.5"),
        ("12 V 150 A 0 mm/min", "travel speed must be greater than zero"),
        ("0 V 150 A 90 mm/min", "voltage must be greater than zero"),
        ("12 V -150 A 90 mm/min", "current must be greater than zero"),
        ("0 kJ/mm", "arc energy must be greater than zero"),
        ("-1 kJ/mm", "arc energy must be greater than zero"),
        ("1 kJ/mm\n", "control character"),
        ("12 V\t150 A 90 mm/min", "is no part of an arc energy"),
        ("9" * 30 + " V " + "9" * 30 + " A 1 mm/s", "far too much"),
        ("12 V " * 10**5, "longer than"),
    ],
)
def test_refused(text: str, why: str) -> None:
    with pytest.raises(QuantityError) as refused:
        parse_arc_energy(text)
    assert why in str(refused.value)
    assert str(refused.value).isprintable()
    assert len(str(refused.value)) < 300


positive = st.decimals("0.1", 999, places=1).map(str)


@given(positive, positive, positive)
def test_text_never_says_more_than_the_number(volts: str, amps: str, travel: str) -> None:
    energy = arc_energy(stored(volts, "V"), stored(amps, "A"), stored(travel, "mm/min"))
    shortfall = energy.number - stored(energy.text, "kJ/mm").number
    assert 0 <= shortfall < Fraction(1, 10**4)
    assert len(energy.text) <= LONGEST


@settings(max_examples=200, deadline=None)
@given(st.one_of(st.text(), st.text("0123456789.,;x×*-/ VAkJmins\u2212\u00a0", max_size=60)))
def test_arbitrary_text_is_read_or_refused(text: str) -> None:
    try:
        energy = parse_arc_energy(text)
    except QuantityError as refused:
        energy, sentence = None, str(refused)
    assert sentence.isprintable() if energy is None else energy.number > 0
