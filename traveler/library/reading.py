"""Reading the data files: every number exact and with its source, every fault named by file and key."""

import tomllib
from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import get_args

from traveler.errors import BadInput, TravelerError
from traveler.library.model import Printed
from traveler.metals.outcome import Mark, Source
from traveler.quantity.parse import parse_quantity
from traveler.quantity.quantity import Quantity
from traveler.quantity.units import Kind

MARKS: Mapping[str, Mark] = {mark: mark for mark in get_args(Mark)}
DATA = Path(__file__).with_name("data")  # importlib.resources would load archives, temporary files and chance
OF_SOURCE = ("source", "mark", "clause")
COMMON_PRACTICE: Mark = "common practice, no published source"


class Table:
    """One table of a data file, read key by key.

    ``place`` names it in errors ("steels.toml, steel 4130"). Call ``done`` after the last key: one that
    nobody asked for is misspelt.
    """

    def __init__(self, place: str, content: Mapping[str, object], sources: Mapping[str, Source]) -> None:
        self.place = place
        self._content = content
        self._sources = sources
        self._asked = set(OF_SOURCE)

    def has(self, key: str) -> bool:
        """Whether the key is there."""
        self._asked.add(key)
        return key in self._content

    def text(self, key: str) -> str:
        """A text that must be there and not be empty."""
        value = self._get(key)
        if not isinstance(value, str) or not value.strip():
            raise self.fault(key, value, "a text")
        return value

    def text_or_none(self, key: str) -> str | None:
        """A text, None where the key is left out."""
        return self.text(key) if self.has(key) else None

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts, empty where the key is left out."""
        value = self._get(key) if self.has(key) else []
        if not isinstance(value, list) or not all(isinstance(item, str) and item for item in value):
            raise self.fault(key, value, "a list of texts")
        return tuple(value)

    def flag(self, key: str, default: bool | None = None) -> bool:
        """A true or false; must be there unless there is a default."""
        if default is not None and not self.has(key):
            return default
        value = self._get(key)
        if not isinstance(value, bool):
            raise self.fault(key, value, "true or false")
        return value

    def number(self, key: str) -> Fraction:
        """An exact number, not negative."""
        value = self._get(key)
        if isinstance(value, bool) or not isinstance(value, int | Decimal) or value < 0:
            raise self.fault(key, value, "a number that is not negative")
        return Fraction(value)

    def number_or_none(self, key: str) -> Fraction | None:
        """An exact number, None where the key is left out."""
        return self.number(key) if self.has(key) else None

    def quantity_or_none(self, key: str, kind: Kind) -> Quantity | None:
        """A quantity as printed ("300 F"), None where the key is left out."""
        if not self.has(key):
            return None
        try:
            return parse_quantity(self.text(key), kind)
        except BadInput as error:
            raise TravelerError(f"{self.place}, {key}: {error}") from error

    def printed(self, key: str, kind: Kind) -> Printed:
        """A limit in one unit system or both: ``{ inch = "300 F", metric = "150 C" }``."""
        return self.table(key).as_printed(kind)

    def printed_or_none(self, key: str, kind: Kind) -> Printed | None:
        """A limit, None where the key is left out."""
        return self.printed(key, kind) if self.has(key) else None

    def as_printed(self, kind: Kind) -> Printed:
        """This table as a printed limit."""
        inch, metric = self.quantity_or_none("inch", kind), self.quantity_or_none("metric", kind)
        if inch is None and metric is None:
            raise TravelerError(f"{self.place}: expected the limit as inch or metric or both")
        self.done()
        return Printed(inch, metric, self.source())

    def source(self) -> Source:
        """The source this table names, with the mark or the clause it overrides."""
        key = self._content.get("source")
        if not isinstance(key, str) or key not in self._sources:
            raise self.fault("source", key, "one of " + ", ".join(sorted(self._sources)))
        source = self._sources[key]
        mark = checked_mark(self.place, self._content.get("mark", source.mark))
        return Source(source.title, mark, self.text_or_none("clause") or source.clause, source.edition)

    def table(self, key: str) -> "Table":
        """A table under this one; where it names no source it inherits this one's."""
        value = self._get(key)
        if not isinstance(value, dict):
            raise self.fault(key, value, "a table")
        return self._below(f"{self.place}, {key}", value)

    def tables(self, key: str) -> Iterator["Table"]:
        """The tables of a list of tables, each named by its ``name`` or its place in the list."""
        value = self._get(key)
        if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            raise self.fault(key, value, "a list of tables")
        for index, item in enumerate(value):
            yield self._below(f"{self.place}, {key} {item.get('name', index)}", item)

    def names(self) -> tuple[str, ...]:
        """Every key but those that belong to the source."""
        return tuple(key for key in self._content if key not in OF_SOURCE)

    def raw(self, key: str) -> object:
        """The value as the file has it."""
        return self._get(key)

    def done(self) -> None:
        """Refuse keys that nobody asked for."""
        if unknown := [key for key in self._content if key not in self._asked]:
            raise TravelerError(f"{self.place}: unknown key {unknown[0]!r}")

    def fault(self, key: str, value: object, expected: str) -> TravelerError:
        """The error that names this place and says what was expected."""
        return TravelerError(f"{self.place}, {key}: read {value!r}, expected {expected}")

    def _get(self, key: str) -> object:
        self._asked.add(key)
        if key not in self._content:
            raise TravelerError(f"{self.place}: {key} is missing")
        return self._content[key]

    def _below(self, place: str, content: dict[str, object]) -> "Table":
        if "source" not in content:
            content = {key: self._content[key] for key in OF_SOURCE if key in self._content} | content
        return Table(place, content, self._sources)


def checked_mark(place: str, mark: object) -> Mark:
    """The mark, if it is one of the four."""
    if isinstance(mark, str) and mark in MARKS:
        return MARKS[mark]
    raise TravelerError(f"{place}, mark: read {mark!r}, expected one of {'; '.join(MARKS)}")


def read_sources(place: str, content: Mapping[str, object]) -> dict[str, Source]:
    """The sources a file declares under ``[source.KEY]``; only common practice goes without a title."""
    sources = {}
    for key, entry in content.items():
        if not isinstance(entry, dict):
            raise TravelerError(f"{place}, source {key}: expected a table")
        table = Table(f"{place}, source {key}", entry, {})
        title, mark = table.text_or_none("title"), checked_mark(table.place, table.raw("mark"))
        if (title is None) != (mark == COMMON_PRACTICE):
            raise TravelerError(f"{table.place}: a source has a title, common practice has none")
        sources[key] = Source(title, mark, table.text_or_none("clause"), table.text_or_none("edition"))
        table.done()
    return sources


def read_data(name: str) -> Table:
    """The data file of that name ("steels.toml") as one table, decimals exact."""
    return table_of(name, (DATA / name).read_text(encoding="utf-8"))


def table_of(place: str, text: str) -> Table:
    """TOML text as one table. Raises TravelerError naming the place when it cannot be read."""
    try:
        content = tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        raise TravelerError(f"{place}: not readable as TOML: {error}") from error
    sources = read_sources(place, content.pop("source", {}))
    return Table(place, content, sources)
