"""Reading one table of a sheet field by field, noting every fault with its place."""

import unicodedata
from collections.abc import Callable, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any, Self, TypeVar

from traveler.errors import BadInput
from traveler.job.sheet_words import one_of, place_name, plain_number, shown, with_unit
from traveler.quantity.parse import EXPECTED, parse_quantity
from traveler.quantity.quantity import Quantity
from traveler.quantity.units import Kind

T = TypeVar("T")

LONGEST_TEXT = 200
LONGEST_NAME = 40
MOST_DECIMALS = 12

# Control, surrogate, private, unassigned, line and paragraph end: no glyph that everybody would see alike.
_UNPRINTABLE = frozenset({"Cc", "Cs", "Co", "Cn", "Zl", "Zp"})
# Direction overrides make a record read differently from what it says.
_DIRECTION_CONTROLS = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class Table:
    """One table under reading.

    A field that cannot be used gives None and leaves a fault in ``faults``, which the whole sheet shares; a
    field that is left out gives None, with a fault only where it is ``required``. `finish` then reports the
    keys nobody asked for.
    """

    def __init__(self, place: str, values: Mapping[str, Any], faults: list[str]) -> None:
        self.place = place
        self.faults = faults
        self._values = values
        self._asked: list[str] = []

    def fault(self, key: str, read: str, expected: str) -> None:
        """Note that the field ``key`` cannot be used."""
        self.faults.append(f"{self._place_of(key)}: {read}; expected {expected}")

    def fault_here(self, read: str, expected: str) -> None:
        """Note that the table as a whole cannot be used."""
        self.faults.append(f"{self.place}: {read}; expected {expected}")

    def has(self, key: str) -> bool:
        """Whether the field was written at all."""
        return key in self._values

    def is_text(self, key: str) -> bool:
        """Whether the field was written, and as text."""
        return isinstance(self._values.get(key), str)

    def written_text(self, key: str) -> str:
        """The text of the field as written; empty where it is left out or no text."""
        value = self._values.get(key)
        return value if isinstance(value, str) else ""

    def length(self, key: str) -> int:
        """How many entries the list ``key`` has, good or bad; 0 where it is left out or no list."""
        value = self._values.get(key)
        return len(value) if isinstance(value, list) else 0

    def figure(self, key: str) -> str:
        """A number with the decimals that it is written with."""
        return format(Decimal(self._values[key]), "f")

    def written(self) -> tuple[str, ...]:
        """The keys as written, in order."""
        return tuple(self._values)

    def text(
        self, key: str, expected: str, *, required: bool = True, may_be_digits: bool = True
    ) -> str | None:
        """Free text of 1 to 200 characters in any script, as written (in NFC), without control characters."""
        value = self._take(key, expected, required)
        if value is None:
            return None
        if not isinstance(value, str):
            digits = f', such as "{plain_number(value)}"' if may_be_digits and plain_number(value) else ""
            self.fault(key, f"read {shown(value)}", f"{expected}, as text in quotes{digits}")
        elif not value.strip():
            self.fault(key, "read empty text", expected)
        elif len(value) > LONGEST_TEXT:
            self.fault(key, f"read {len(value)} characters", f"{expected}, in at most {LONGEST_TEXT}")
        elif any(_unprintable(character) for character in value):
            self.fault(key, f"read {shown(value)}", f"{expected}, without control characters")
        else:
            return unicodedata.normalize("NFC", value)
        return None

    def name(self, key: str, expected: str) -> str | None:
        """A required name that other places refer to and that files and streams may carry."""
        value = self.text(key, expected)
        if value is None or _is_name(value):
            return value
        self.fault(
            key,
            f"read {shown(value)}",
            f"{expected}: 1 to {LONGEST_NAME} printable characters without slashes, "
            "that begin with no point, hyphen or space and end with no space",
        )
        return None

    def choice(self, key: str, options: tuple[str, ...], *, default: str | None = None) -> Any:
        """One of ``options``; ``default`` where the field is left out, required where there is none."""
        if default is not None and not self.has(key):
            self._asked.append(key)
            return default
        return self.named(key, "", dict(zip(options, options, strict=True)))

    def named(
        self,
        key: str,
        what: str,
        known: Mapping[str, T],
        *,
        labels: Mapping[str, str] | None = None,
        required: bool = True,
        fold: bool = False,
    ) -> T | None:
        """What the text names in ``known``; ``what`` says in the plural what is known there.

        ``labels``: names to suggest in place of the keys. ``fold``: the keys are case-folded.
        """
        names = {name: (labels or {}).get(name, name) for name in known}
        value = self.text(
            key,
            one_of(what, names, None),
            required=required,
            may_be_digits=plain_number(self._values.get(key)) in known,
        )
        if value is None:
            return None
        wanted = value.strip().casefold() if fold else value
        if wanted not in known:
            self.fault(key, f"read {shown(value)}", one_of(what, names, value))
            return None
        return known[wanted]

    def choices(self, key: str, what: str, options: tuple[str, ...]) -> tuple[str, ...]:
        """A list of ``options``, each once, in the order of the sheet; empty where it is left out."""
        known = dict(zip(options, options, strict=True))
        expected = f"a list of {what}, {one_of(what, known, None)}"
        value = self._take(key, expected, required=False)
        if value is None:
            return ()
        if not isinstance(value, list):
            self.fault(key, f"read {shown(value)}", expected)
            return ()
        for index, item in enumerate(value):
            if not isinstance(item, str) or item not in known:
                typed = item if isinstance(item, str) else None
                self.fault(f"{key}[{index}]", f"read {shown(item)}", one_of(what, known, typed))
            elif item in value[:index]:
                self.fault(f"{key}[{index}]", f"read {shown(item)} a second time", "each once")
        return tuple(item for item in value if isinstance(item, str) and item in known)

    def texts(self, key: str, expected: str) -> tuple[str, ...] | None:
        """A list of texts as ``text`` takes one, each once, in the order of the sheet; None where it is left out."""
        return self._each_once(
            key, f"a list of texts, {expected}", lambda entry, place: entry.text(place, expected)
        )

    def names(self, key: str, expected: str) -> tuple[str, ...]:
        """A list of names, as of ``name``, each once; empty where it is left out."""
        if self._values.get(key) == []:
            self.fault(key, "read an empty list", f"{expected}, or no list at all")
        read = self._each_once(key, f"a list of {expected}", lambda entry, place: entry.name(place, expected))
        return read or ()

    def _each_once(
        self, key: str, expected: str, read: Callable[["Table", str], str | None]
    ) -> tuple[str, ...] | None:
        values = self._take(key, expected, required=False)
        if values is None:
            return None
        if not isinstance(values, list):
            self.fault(key, f"read {shown(values)}", expected)
            return None
        places = {f"{key}[{index}]": value for index, value in enumerate(values)}
        entries = type(self)(self.place, places, self.faults)
        items: list[str] = []
        for place in places:
            item = read(entries, place)
            if item is not None and item in items:
                self.fault(place, f"read {shown(item)} a second time", "each once")
            elif item is not None:
                items.append(item)
        return tuple(items)

    def quantity(
        self, key: str, kind: Kind, *, above_zero: bool = True, required: bool = True, instead: str = ""
    ) -> Quantity | None:
        """A quantity of ``kind``, as text with a unit; ``instead``: the fields that would also do."""
        expected = EXPECTED[kind] + (f", or {instead}" if instead else "")
        value = self._take(key, expected, required)
        if value is None:
            return None
        if not isinstance(value, str):
            self.fault(key, f"read {shown(value)}", f"{expected}, as text in quotes{with_unit(value, kind)}")
            return None
        if not value.strip():
            self.fault(key, "read empty text", expected)
            return None
        try:
            quantity = parse_quantity(value, kind)
        except BadInput as error:
            self.faults.append(f"{self._place_of(key)}: read {error}")
            return None
        if above_zero and quantity.canonical <= 0:
            self.fault(key, f"read {shown(value)}", f"{expected}, greater than zero")
            return None
        return quantity

    def number(self, key: str, expected: str, *, at_most: int, above_zero: bool = False) -> Fraction | None:
        """A plain TOML number from 0, or only ``above_zero``, up to ``at_most``: exact."""
        value = self._take(key, expected, required=True)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, (int, Decimal)):
            self.fault(key, f"read {shown(value)}", f"{expected}, written without quotes")
        elif not _within(value, at_most) or (above_zero and value == 0):
            self.fault(key, f"read {shown(value)}", expected)
        elif -int(Decimal(value).as_tuple().exponent) > MOST_DECIMALS:
            # An exact fraction of 1e-999999999 would fill the memory.
            self.fault(key, f"read {shown(value)}", f"{expected}, with at most {MOST_DECIMALS} decimals")
        else:
            return Fraction(value)
        return None

    def flag(self, key: str) -> bool:
        """True or false, written without quotes; false where it is left out."""
        value = self._take(key, "true or false", required=False)
        if value is None:
            return False
        if not isinstance(value, bool):
            self.fault(key, f"read {shown(value)}", "true or false, written without quotes")
            return False
        return value

    def integer(self, key: str, expected: str, *, at_most: int, required: bool = True) -> int | None:
        """A whole number from 1 to ``at_most``."""
        value = self._take(key, expected, required)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= at_most:
            self.fault(key, f"read {shown(value)}", expected)
            return None
        return value

    def table(self, key: str, expected: str, *, required: bool = True) -> Self | None:
        """The single table ``key``."""
        value = self._take(key, expected, required)
        if value is None:
            return None
        if not isinstance(value, dict):
            self.fault(key, f"read {shown(value)}", expected)
            return None
        return type(self)(self._place_of(key), value, self.faults)

    def tables(self, key: str, expected: str, *, required: bool = False) -> list[Self]:
        """The tables of the list ``key``; what is no table leaves a fault and is passed over."""
        value = self._take(key, expected, required)
        if value is None:
            return []
        if not isinstance(value, list):
            self.fault(key, f"read {shown(value)}", f"a list of tables: {expected}")
            return []
        if not value and required:
            self.fault(key, "read an empty list", expected)
        tables = []
        for index, item in enumerate(value):
            if isinstance(item, dict):
                tables.append(type(self)(f"{self._place_of(key)}[{index}]", item, self.faults))
            else:
                self.fault(f"{key}[{index}]", f"read {shown(item)}", "a table")
        return tables

    def finish(self) -> None:
        """Note a fault for each key that nobody asked for."""
        known = dict(zip(self._asked, self._asked, strict=True))
        for key, value in self._values.items():
            if key not in known:
                kind = "table" if isinstance(value, (dict, list)) else "key"
                self.fault(place_name(key), f"read an unknown {kind}", one_of("keys", known, key))

    def _take(self, key: str, expected: str, required: bool) -> Any:
        self._asked.append(key)
        if key not in self._values:
            if required:
                self.fault(key, "missing", expected)
            return None
        return self._values[key]

    def _place_of(self, key: str) -> str:
        return f"{self.place}.{key}" if self.place else key


def _within(value: int | Decimal, at_most: int) -> bool:
    return not (isinstance(value, Decimal) and not value.is_finite()) and 0 <= value <= at_most


def _unprintable(character: str) -> bool:
    return unicodedata.category(character) in _UNPRINTABLE or character in _DIRECTION_CONTROLS


def _is_name(text: str) -> bool:
    """A leading point hides a file, a leading hyphen reads as an option of a command."""
    return (
        len(text) <= LONGEST_NAME
        and text.isprintable()
        and text == text.strip()
        and not text.startswith((".", "-"))
        and not any(slash in text for slash in "/\\")
    )
