"""A dimension of the sheet: its nominal size, and a tolerance of its own or by the class of a general standard."""

import re
from collections.abc import Callable
from fractions import Fraction

from traveler.job.sheet import Dimension
from traveler.job.sheet_fields import Table
from traveler.job.sheet_words import shown
from traveler.library.model import Library
from traveler.metals.outcome import Source
from traveler.metals.tolerances import linear_tolerance
from traveler.quantity.parse import stored
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import finite_decimal
from traveler.quantity.units import Kind

SHEET = Source("job sheet", "seen")
BY_CLASS = re.compile(r"(ISO 13920|ISO 2768)[- ]?(?:1 ?- ?)?([A-Za-z])")
TABLES = {"ISO 13920": "ISO 13920", "ISO 2768": "ISO 2768-1"}
DECIMALS = 3


def dimension_reader(library: Library) -> Callable[[Table, str], Dimension | None]:
    """What reads one ``[[dimension]]``; None where it has a fault."""

    def read(table: Table, id_: str) -> Dimension | None:
        title = table.text("title", "what is measured")
        nominal = table.quantity("nominal", Kind.LENGTH, above_zero=False)
        found = _tolerance(table, nominal, library)
        as_built = table.text("as_built", "how it came out before, in words", required=False)
        table.finish()
        if title is None or nominal is None or found is None:
            return None
        return Dimension(id_, title, nominal, *found, as_built)

    return read


def _tolerance(
    table: Table, nominal: Quantity | None, library: Library
) -> tuple[Quantity, Source, str | None] | None:
    by_class = BY_CLASS.fullmatch(table.written_text("tolerance").strip())
    if by_class is None:
        own = table.quantity("tolerance", Kind.LENGTH, instead="a class such as ISO 13920-B or ISO 2768-m")
        return None if own is None else (own, SHEET, None)
    table.text("tolerance", "a tolerance")
    standard = library.tolerances[TABLES[by_class[1]]]
    if by_class[2] not in standard.classes:
        read = f"read {shown(table.written_text('tolerance'))}"
        table.fault("tolerance", read, f"one of the classes {', '.join(standard.classes)} of {standard.name}")
        return None
    if nominal is None or nominal.canonical <= 0:
        return None
    outcome = linear_tolerance(standard, by_class[2], nominal.canonical)
    if outcome.value is None:
        table.fault("tolerance", "; ".join(outcome.reasons), "a tolerance of its own in mm or in")
        return None
    text = finite_decimal(Fraction(str(outcome.value)), DECIMALS) or str(outcome.value)
    return stored(text, "mm"), outcome.source, f"{standard.name}-{by_class[2]}"
