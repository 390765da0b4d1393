"""What a recorded cycle did to the metal, in words. Constructed; parameters by P = T (20 + log10 t), T in K, t in h."""

from array import array

from traveler.chart.couples import Couple
from traveler.chart.model import Channel, Chart
from traveler.job.chart_cycle import bake_cycle, relief_cycle


def held(**at_c: float) -> tuple[Chart, list[Couple]]:
    """Couples that stand at a temperature for 2 h, read every minute."""
    columns = {name: array("d", [value] * 121) for name, value in at_c.items()}
    channels = tuple(Channel(name, "part", values) for name, values in columns.items())
    times = array("d", (60.0 * row for row in range(121)))
    chart = Chart(times, None, "degC", channels, 60.0, "0" * 64, {})
    return chart, [Couple(name, values) for name, values in columns.items()]


def words(chart: Chart, couples: list[Couple]) -> str:
    ((label, text),) = relief_cycle(chart, couples, None)
    assert label.startswith("Hollomon-Jaffe parameter")
    return text


def test_the_least_and_the_most_heated_couple() -> None:
    """2 h: 893.15 K make 18.132 (620 °C), 873.15 K 17.726 (600 °C)."""
    assert words(*held(TC1=620.0, TC2=600.0, TC3=610.0)) == "17.73 (TC2) to 18.13 (TC1)"
    assert words(*held(TC1=600.0)) == "17.73 (TC1)"


def test_couples_that_two_decimals_do_not_tell_apart() -> None:
    assert words(*held(TC1=600.0, TC2=600.05)) == "17.73 in each of 2 couples"


def test_a_couple_that_is_lost_has_no_whole_cycle() -> None:
    """TC2 is seen for half an hour: what it shows then, 17.2, is not what the metal there had."""
    chart, (one, other) = held(TC1=620.0, TC2=600.0)
    lost = Couple(other.name, other.values, ((30, 120),))
    assert words(chart, [one, lost]) == "18.13 (TC1); not seen throughout, so left out: TC2"
    assert words(chart, [lost]) == "at least 17.20 (TC2); no couple is seen throughout"
    dark = Couple("TC3", array("d", [20.0] * 121), ((1, 120),))
    assert words(chart, [dark]) == "none: nothing is seen that was heated enough to be tempered"
    assert words(chart, [one, dark]) == "18.13 (TC1); not seen throughout, so left out: TC3"


def test_hydrogen_that_is_all_but_gone_is_not_none() -> None:
    """6 mm for 2 h at 250 °C by 6.2e-5 cm²/s (Coe and Moreton): Fo 1.24, and 0.81 exp(-12.2) is left, not nothing."""
    ((_, text),) = bake_cycle(*held(TC1=250.0), 6.0)
    assert text.startswith("under 5 to ")
