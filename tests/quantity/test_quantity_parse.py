"""What people type, each with what it is read as or why it is refused."""

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from traveler.quantity.parse import EXPECTED, LONGEST, QuantityError, parse_quantity, stored
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show
from traveler.quantity.units import BY_SYMBOL, Kind

T, SPAN, RATE, LENGTH = Kind.TEMPERATURE, Kind.SPAN, Kind.RATE, Kind.LENGTH


@pytest.mark.parametrize(
    ("text", "kind", "number", "symbol", "number_text"),
    [
        ("300 F", T, "300", "degF", "300"),
        ("300F", T, "300", "degF", "300"),
        ("  300   F ", T, "300", "degF", "300"),
        ("300 °F", T, "300", "degF", "300"),
        ("300 ° F", T, "300", "degF", "300"),
        ("300ºF", T, "300", "degF", "300"),
        ("300℉", T, "300", "degF", "300"),
        ("300\u00a0°F", T, "300", "degF", "300"),
        ("300 degF", T, "300", "degF", "300"),
        ("300 deg F", T, "300", "degF", "300"),
        ("300 Deg. f", T, "300", "degF", "300"),
        ("300 degrees Fahrenheit", T, "300", "degF", "300"),
        ("300 f", T, "300", "degF", "300"),
        ("300.0 F", T, "300", "degF", "300.0"),
        ("300. F", T, "300", "degF", "300."),
        ("007 F", T, "7", "degF", "007"),
        ("-20 °F", T, "-20", "degF", "-20"),
        ("\u221220 °F", T, "-20", "degF", "\u221220"),
        ("+5 C", T, "5", "degC", "+5"),
        ("-0 C", T, "0", "degC", "-0"),
        ("-459.67 F", T, "-459.67", "degF", "-459.67"),
        ("0 K", T, "0", "K", "0"),
        ("50 F", SPAN, "50", "delta_degF", "50"),
        ("50 F°", SPAN, "50", "delta_degF", "50"),
        ("50 delta_degF", SPAN, "50", "delta_degF", "50"),
        ("-500 F", SPAN, "-500", "delta_degF", "-500"),
        ("30 K", SPAN, "30", "delta_degC", "30"),
        ("350 F/h", RATE, "350", "delta_degF/h", "350"),
        ("200 °C / hr", RATE, "200", "delta_degC/h", "200"),
        ("400 F per hour", RATE, "400", "delta_degF/h", "400"),
        ("5 C/min", RATE, "5", "delta_degC/min", "5"),
        ("1/4 in", LENGTH, "1/4", "in", "1/4"),
        ("1/4in.", LENGTH, "1/4", "in", "1/4"),
        ("1-1/4 in", LENGTH, "5/4", "in", "1-1/4"),
        ("1 1/4 in", LENGTH, "5/4", "in", "1 1/4"),
        ("-1-1/4 in", LENGTH, "-5/4", "in", "-1-1/4"),
        ("5/4 inches", LENGTH, "5/4", "in", "5/4"),
        (".25 in", LENGTH, "1/4", "in", ".25"),
        ('0.095"', LENGTH, "0.095", "in", "0.095"),
        ("0.095”", LENGTH, "0.095", "in", "0.095"),
        ("6.4 mm", LENGTH, "6.4", "mm", "6.4"),
        ("6.4 MM", LENGTH, "6.4", "mm", "6.4"),
        ("0.5 yard", LENGTH, "0.5", "yard", "0.5"),
        ("120 thou", LENGTH, "120", "thou", "120"),
        ("2 Hours", Kind.TIME, "2", "h", "2"),
        ("30 min", Kind.TIME, "30", "min", "30"),
        ("4 ipm", Kind.SPEED, "4", "in/min", "4"),
        ("12 volts", Kind.VOLTAGE, "12", "V", "12"),
        ("150 amps", Kind.CURRENT, "150", "A", "150"),
        ("350 HV10", Kind.HARDNESS, "350", "HV", "350"),
        ("240 HBW", Kind.HARDNESS, "240", "HB", "240"),
        ("22 HRC", Kind.HARDNESS, "22", "HRC", "22"),
    ],
)
def test_read(text: str, kind: Kind, number: str, symbol: str, number_text: str) -> None:
    quantity = parse_quantity(text, kind)
    assert (quantity.number, quantity.unit.symbol) == (Fraction(number), symbol)
    assert quantity.text == number_text


@pytest.mark.parametrize(
    ("text", "kind", "why"),
    [
        ("", T, "nothing was typed"),
        ("   ", T, "nothing was typed"),
        ("300", T, "300: the unit is missing"),
        ("F", T, "the number is missing"),
        ("NaN", T, "the number is missing"),
        ("nan F", T, "the number is missing"),
        ("inf mm", LENGTH, "the number is missing"),
        ("-inf C", T, "- is not a plain number"),
        ("300 farad", T, "300 farad: farad is not a unit of temperature"),
        ("300 G", T, "G is not a unit of temperature"),
        ("300 blorg", T, "blorg is not a known unit"),
        ("300 F°", T, "F° is not a unit of temperature"),
        ("300 delta_degF", T, "delta_degF is not a unit of temperature"),
        ("300 F/h", T, "F/h is not a unit of temperature"),
        ("300 F", RATE, "F is not a unit of temperature rate"),
        ("300 F", LENGTH, "F is not a unit of length"),
        ("300 F 5", T, "F 5 is not a known unit"),
        ("-459.68 F", T, "below absolute zero"),
        ("-273.16 C", T, "below absolute zero"),
        ("-1 K", T, "below absolute zero"),
        ("-1 degR", T, "below absolute zero"),
        ("1,5 mm", LENGTH, "so write 1.5"),
        ("1,500 mm", LENGTH, "so write 1.500 or 1500"),
        ("1,500.5 mm", LENGTH, "write 1500.5, without separators"),
        ("1 500 F", T, "write 1500, without separators"),
        ("1'500 F", T, "write 1500, without separators"),
        ("1_000 F", T, "write 1000, without separators"),
        ("1_0 F", T, "without separators"),
        ("1e3 F", T, "without an exponent"),
        ("1e3", T, "without an exponent"),
        ("1E-3 in", LENGTH, "without an exponent"),
        ("1e309 mm", LENGTH, "without an exponent"),
        ("0x10 F", T, "x10 F is not a known unit"),
        ("٣٠٠ F", T, "is not a plain number"),
        ("３００ F", T, "is not a plain number"),
        ("½ in", LENGTH, "½ is not a plain number"),
        ("1½ in", LENGTH, "1½ is not a plain number"),
        ("1/0 in", LENGTH, "divided by zero"),
        ("1-1/0 in", LENGTH, "divided by zero"),
        ("1-5/4 in", LENGTH, "must be less than one"),
        ("1--1/4 in", LENGTH, "is not a plain number"),
        ("1/4/2 in", LENGTH, "is not a plain number"),
        ("1.2.3 in", LENGTH, "is not a plain number"),
        (". in", LENGTH, "is not a plain number"),
        ("1.5/2 in", LENGTH, "is not a plain number"),
        ("(2+3) in", LENGTH, "is not a plain number"),
        ("2**9 in", LENGTH, "is not a plain number"),
        ("6 m m", LENGTH, "m m is not a known unit"),
        ("6 Mm", LENGTH, "so write mm"),
        ("6 mm*2", LENGTH, "is not a known unit"),
        ("30 m", Kind.TIME, "m is not a unit of time"),
        ("25 N", Kind.ARC_ENERGY, "N is not a unit of arc energy"),
        ("5 yard", Kind.HARDNESS, "yard is not a unit of hardness"),
        ("350 HV0.5", Kind.HARDNESS, "is not a known unit"),
        ("5 dB", LENGTH, "dB is not a"),
        ("5 kdegRe", LENGTH, "kdegRe is not a"),
        ("300\n F", T, "control character"),
        ("300 F\n", T, "control character"),
        ("300\x00 F", T, "control character"),
        ("300\u202e F", T, "control character"),
        ("300 F\ud800", T, "control character"),
        ("9" * 41 + " F", T, f"longer than {LONGEST} characters"),
        ("9" * 10**6, T, f"longer than {LONGEST} characters"),
    ],
)
def test_refused(text: str, kind: Kind, why: str) -> None:
    with pytest.raises(QuantityError) as refused:
        parse_quantity(text, kind)
    message = str(refused.value)
    assert why in message
    assert message.endswith(f"; expected {EXPECTED[kind]}")
    assert message.isprintable()
    assert len(message) < 4 * LONGEST + len(EXPECTED[kind])


@pytest.mark.parametrize("kind", list(Kind))
def test_the_examples_in_the_messages_are_read(kind: Kind) -> None:
    _, _, examples = EXPECTED[kind].partition(" such as ")
    for text in examples.split(" or "):
        assert parse_quantity(text, kind).unit.kind is kind


@pytest.mark.parametrize("text", ["", "300 F", "1e3", "nan", "-500", "9" * 10**6, "1/0", " 300"])
def test_stored_refuses_what_the_parser_would(text: str) -> None:
    with pytest.raises(QuantityError) as refused:
        stored(text, "degF")
    assert len(str(refused.value)) < 200


def read_or_sentence(read: Callable[..., Quantity], *typed: str) -> Quantity | str:
    """What was read or the sentence that refused it; anything else that is raised fails the test."""
    try:
        return read(*typed)
    except QuantityError as refused:
        return str(refused)


number_texts = st.one_of(
    st.from_regex(r"[+\-\u2212]?[0-9]{1,6}(\.[0-9]{0,6})?", fullmatch=True),
    st.from_regex(r"-?\.[0-9]{1,6}", fullmatch=True),
    st.from_regex(r"-?[0-9]{1,3}/[1-9][0-9]{0,2}", fullmatch=True),
    st.from_regex(r"-?[0-9]{1,3}[\- ]1/[2-9]", fullmatch=True),
)


@given(number_texts, st.sampled_from([*BY_SYMBOL, "yard", "degR", "delta_degRe", "kJ/m"]))
def test_shown_and_stored_forms_read_back(text: str, symbol: str) -> None:
    quantity = read_or_sentence(stored, text, symbol)
    if isinstance(quantity, str):
        assert "below absolute zero" in quantity
        return
    assert parse_quantity(show(quantity), quantity.unit.kind) == quantity
    assert stored(quantity.text, quantity.unit.symbol) == quantity
    assert quantity.unit.from_canonical(quantity.canonical) == quantity.number


typed = st.one_of(
    st.text(),
    st.text("0123456789.,-+/ _'eE\"°%FCKminchJVAxµdeg\u2212\u00a0", max_size=45),
    st.builds(
        lambda number, name: f"{number} {name}", number_texts, st.text("abcdefgimnoprtuyFCKJ_/°µ", max_size=8)
    ),
)


@settings(max_examples=300, deadline=None)
@given(typed, st.sampled_from(Kind))
@example("1 delta_/h", Kind.RATE)
@example("1 e/e", Kind.SPAN)
def test_arbitrary_text_is_read_or_refused_in_a_sentence(text: str, kind: Kind) -> None:
    quantity = read_or_sentence(parse_quantity, text, kind)
    if isinstance(quantity, str):
        assert quantity.isprintable()
    else:
        assert quantity.unit.kind is kind
        assert isinstance(quantity.canonical, Fraction)
        assert stored(quantity.text, quantity.unit.symbol) == quantity


@settings(max_examples=100, deadline=None)
@given(st.text(), st.one_of(st.text(), st.sampled_from(list(BY_SYMBOL))))
def test_arbitrary_stored_text_is_read_or_refused(text: str, symbol: str) -> None:
    quantity = read_or_sentence(stored, text, symbol)
    assert quantity.isprintable() if isinstance(quantity, str) else quantity.unit.symbol == symbol
