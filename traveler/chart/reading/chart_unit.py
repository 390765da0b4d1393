"""The one unit in which all temperatures of a file are, or the question for it."""

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice

from traveler.chart.model import Question, TemperatureUnit
from traveler.chart.reading.cells import unit_shown
from traveler.chart.reading.columns import Column
from traveler.chart.reading.dialect import Row
from traveler.chart.reading.temperature_columns import Assigned
from traveler.chart.unclear import Unclear
from traveler.errors import BadInput


def settle_unit(
    assigned: Sequence[Assigned], above: Sequence[Row], told: TemperatureUnit | None
) -> tuple[TemperatureUnit, str]:
    """The unit of all temperatures, and what says so: "told", "told against the header",
    "header", "cells" or "preamble".

    Raises BadInput for columns in different units and for kelvin, Unclear where nothing says the unit.
    """
    used = [each.column for each in assigned if each.role != "ignored"]
    by_unit: dict[TemperatureUnit, Column] = {}
    for column in used:
        if column.header.measures == "degC" or column.header.measures == "degF":
            by_unit.setdefault(column.header.measures, column)
        elif column.header.measures == "kelvin" and not column.header.is_bare_k:
            raise BadInput(f"{column.place} is in kelvin; expected °C or °F")
    if len(by_unit) > 1:
        raise BadInput(
            f"{by_unit['degC'].place} is in °C and {by_unit['degF'].place} in °F; expected one unit, so name those of "
            "the other as ignored"
        )
    if told is None and any(column.header.is_bare_k for column in used):
        raise which_unit(
            "a K stands over columns of temperatures, for the type of the couple or for kelvin, which is not read: "
            "are the temperatures in °C or in °F?"
        )
    if told is not None:
        return told, "told" if by_unit.keys() <= {told} else "told against the header"
    for says, units in _said(by_unit, used, above):
        if len(units) == 1:
            return units[0], says
    raise which_unit(
        "nothing in the file says whether the temperatures are in °C or in °F: in which unit are they?"
    )


def _said(
    by_unit: Iterable[TemperatureUnit], used: Sequence[Column], above: Sequence[Row]
) -> Iterator[tuple[str, list[TemperatureUnit]]]:
    """What says a unit, and which: each is looked for only where those before it say none."""
    yield "header", [*by_unit]
    yield "cells", _units_of_cells(used)
    yield "preamble", _units_above(above)


def _units_of_cells(columns: Sequence[Column]) -> list[TemperatureUnit]:
    """The unit of the first cell that has one; a cell in the other is refused with its line when it is read."""
    shown = (unit for column in columns for text in column.cells if (unit := unit_shown(text)) is not None)
    return [*islice(shown, 1)]


_STATED = re.compile(
    r"(?:\b(?:units?|einheit(?:en)?)\b|\btemp(?:erature)?s?\b(?:\s+(?:are\s+)?in\b)?)[\s:=;,(\[\-]{0,6}"
    r"(?:(?P<degC>(?:°|º|deg\.?)\s?C|℃|celsius|C)|(?P<degF>(?:°|º|deg\.?)\s?F|℉|fahrenheit|F))(?![^\W_])",
    re.IGNORECASE,
)


def _units_above(rows: Sequence[Row]) -> list[TemperatureUnit]:
    """The units that lines such as "Units: °C" state above the names."""
    found: list[TemperatureUnit] = []
    for row in rows:
        for stated in _STATED.finditer(" ".join(row.cells)):
            found.append("degC" if stated["degC"] else "degF")
    return [*dict.fromkeys(found)]


def which_unit(sentence: str) -> Unclear:
    """The question for the unit."""
    return Unclear(Question("unit", sentence, (("degC", "degrees Celsius"), ("degF", "degrees Fahrenheit"))))
