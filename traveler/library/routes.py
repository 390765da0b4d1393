"""Reading ``routes.toml``: the steps and holds that are weighed against each other for a joint."""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from traveler.library.model import Printed
from traveler.library.reading import Table, read_data
from traveler.metals.outcome import Source
from traveler.quantity.units import Kind


@dataclass(frozen=True, slots=True)
class HoldAboveMs:
    """Hours above Ms after the last run, for these grades."""

    grades: tuple[str, ...]
    hours_least: Fraction
    hours_most: Fraction
    source: Source


@dataclass(frozen=True, slots=True)
class RouteChoices:
    """``longer_hold``: how many times the profile's hold is weighed beside it."""

    preheat_step: Printed
    longer_hold: Fraction
    holds: tuple[HoldAboveMs, ...]


@cache
def load_route_choices() -> RouteChoices:
    """The choices of the data file. Raises TravelerError naming the file and the key where it is wrong."""
    return read_route_choices(read_data("routes.toml"))


def read_route_choices(data: Table) -> RouteChoices:
    """The choices, each with its source."""
    step, longer = data.table("preheat_step"), data.table("longer_hold")
    choices = RouteChoices(
        preheat_step=step.printed("span", Kind.SPAN),
        longer_hold=longer.number("times"),
        holds=tuple(_hold(table) for table in data.tables("hold_above_ms")),
    )
    if choices.longer_hold <= 1:
        raise longer.fault("times", choices.longer_hold, "more than 1")
    for table in (step, longer, data):
        table.done()
    return choices


def _hold(table: Table) -> HoldAboveMs:
    least, most = _hours(table)
    choice = HoldAboveMs(table.texts("grades"), least, most, table.source())
    table.done()
    return choice


def _hours(table: Table) -> tuple[Fraction, Fraction]:
    least, most = table.number("hours_least"), table.number("hours_most")
    if least > most:
        raise table.fault("hours_most", most, f"at least {least}")
    return least, most
