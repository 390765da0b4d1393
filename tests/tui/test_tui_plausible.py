"""Values read back: what can hardly be meant is asked about, each kind by its own ends; the other unit is exact."""

import pytest

from traveler.tui.plausible import doubt, other_unit


def number(unit: str) -> dict[str, str]:
    """A requirement in that unit."""
    return {"type": "number", "unit": unit}


@pytest.mark.parametrize(
    ("unit", "meant", "hardly"),
    [
        ("degC", ("-30 C", "1500 C", "2732 F", "melts 300 F"), ("-31 C", "1501 C", "2732.1 F", "melts 3000 F")),
        ("mm", ("0 mm", "1/4 in", "3 m"), ("3001 mm", "120 in", "-1 in")),
        ("h", ("1 s", "2 h", "336 h"), ("0.5 s", "0 min", "337 h", "-2 h")),
        ("kJ/mm", ("1.0 kJ/mm", "25 kJ/in", "12 V 150 A 90 mm/min"), ("25 kJ/mm", "9 J/mm", "12 V 150 A 9 mm/min")),
        ("HV", ("350 HV", "50 HV"), ("3500 HV", "49 HV")),
        ("HRC", ("22 HRC", "70 HRC"), ("350 HRC", "-1 HRC")),
        ("delta_degC/h", ("200 C/h", "400 F/h"), ("200000 C/h",)),
    ],
)  # fmt: skip
def test_each_kind_has_its_own_ends(unit: str, meant: tuple[str, ...], hardly: tuple[str, ...]) -> None:
    assert [doubt(number(unit), typed) for typed in meant] == [""] * len(meant)
    for typed in hardly:
        assert "is that meant?" in doubt(number(unit), typed), typed


def test_what_is_no_number_is_not_asked_about() -> None:
    for typed in ("", "300", "hot", "300 mm", "1e9 C", "9" * 10_000):
        assert doubt(number("degC"), typed) == ""
        assert other_unit(number("degC"), typed) == ""
    assert doubt({"type": "text", "unit": ""}, "3000 C") == ""


@pytest.mark.parametrize(
    ("unit", "typed", "beside"),
    [
        # (F - 32) / 1.8 and 25.4 mm an inch, NIST SP 811 appendix B; a half goes to the even digit.
        ("degC", "300 F", "= 148.9 °C"),
        ("degC", "446 F", "= 230.0 °C"),
        ("degC", "230 C", "= 446.0 °F"),
        ("degC", "holds 350 F", "= 176.7 °C"),
        ("mm", "1-1/4 in", "= 31.8 mm"),
        ("mm", "25.4 mm", "= 1.000 in"),
        ("kJ/mm", "25.4 kJ/in", "= 1.000 kJ/mm"),
        ("kJ/mm", "12 V 150 A 90 mm/min", "= 1.2 kJ/mm (30.5 kJ/in)"),
        ("delta_degC/h", "100 F/h", "= 55.6 C°/h"),
        ("h", "2 h", ""),
        ("HV", "350 HV", ""),
    ],
)
def test_the_other_unit(unit: str, typed: str, beside: str) -> None:
    assert other_unit(number(unit), typed) == beside
