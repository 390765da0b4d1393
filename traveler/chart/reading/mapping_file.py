"""How a file is to be read, in texts: the mapping that a chart carries, and a TOML file of the same keys."""

import json
import re
import tomllib
from collections.abc import Mapping
from typing import TypeVar, get_args

from traveler.chart.model import Method, TemperatureUnit, Told
from traveler.errors import BadInput
from traveler.quantity.parse import echo

LARGEST_BYTES = 65_536

KEYS = (
    *("delimiter", "decimal", "header_line", "time", "time_form", "date_order", "zone", "unit", "missing"),
    *("couples", "furnace", "spares", "ignored", "method"),
)
"""The fields of ``Told``, in the order in which a mapping file has them."""

FOUND = ("encoding", "times", "spare_for")
"""What the mapping of a chart has beyond them; ``spare_for``: the couples of its list of spares, one by one."""

_DECIMALS: Mapping[str, str] = {".": ".", "point": ".", ",": ",", "comma": ","}
_METHODS: Mapping[str, Method] = {method: method for method in get_args(Method)}
_UNITS: Mapping[str, TemperatureUnit] = {
    **dict.fromkeys(("degc", "c", "°c", "celsius"), "degC"),
    **dict.fromkeys(("degf", "f", "°f", "fahrenheit"), "degF"),
}
_PART = r"""(?:[A-Za-z0-9_-]++|"[^"\n]*"|'[^'\n]*')[ \t]*"""
_ENDLESS_KEY = re.compile(rf"(?<![\w-]){_PART}(?:\.[ \t]*{_PART}){{50}}")
"""tomllib takes time with the square of the number of parts."""

_Value = TypeVar("_Value")


def told_from_mapping(mapping: Mapping[str, object]) -> Told:
    """What to tell the reader so that it reads a file as the chart with that mapping was read.

    Raises BadInput for a key that is not known and for a value that cannot be used.
    """
    for key in mapping:
        if key not in KEYS and key not in FOUND:
            raise BadInput(f'mapping: the key "{echo(key)}" is not known; expected some of {", ".join(KEYS)}')
    keys = _Keys(mapping)
    return Told(
        delimiter=keys.text("delimiter"),
        decimal=keys.choice("decimal", _DECIMALS),
        header_line=keys.line("header_line"),
        time=keys.texts("time"),
        time_form=keys.text("time_form"),
        date_order=keys.text("date_order"),
        zone=keys.text("zone"),
        unit=keys.choice("unit", _UNITS),
        missing=keys.texts("missing"),
        couples=keys.texts("couples"),
        furnace=keys.texts("furnace"),
        spares=keys.spares(),
        ignored=keys.texts("ignored"),
        method=keys.choice("method", _METHODS) or "logger",
    )


def read_mapping(content: bytes) -> Told:
    """What a mapping file in TOML tells. Raises BadInput for bytes that are none, for unknown keys and values."""
    if len(content) > LARGEST_BYTES:
        raise BadInput(f"mapping file: read {len(content)} bytes; expected at most {LARGEST_BYTES}")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadInput(
            f"mapping file: read byte 0x{content[error.start]:02X} at position {error.start}; expected UTF-8"
        ) from None
    if _ENDLESS_KEY.search(text):
        raise BadInput('mapping file: read a key of dozens of parts; expected lines such as decimal = ","')
    try:
        mapping = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        why = str(error) if isinstance(error, tomllib.TOMLDecodeError) else "nested or long without end"
        raise BadInput(f'mapping file: {echo(why)}; expected TOML, lines such as decimal = ","') from None
    if found := next((key for key in FOUND if key in mapping), None):
        raise BadInput(f'mapping: the key "{found}" is not known; expected some of {", ".join(KEYS)}')
    return told_from_mapping(mapping)


def write_mapping(told: Told) -> bytes:
    """A mapping file that tells the same. Raises BadInput for a text that UTF-8 cannot hold."""
    lines = []
    for key in KEYS:
        value = getattr(told, key)
        if key == "spares" or (not value and value != 0):
            continue
        lines.append(f"{key} = {_toml(value)}")
    if told.spares:
        lines.append("\n[spares]")
        lines.extend(f"{_toml(spare)} = {_toml(couple)}" for spare, couple in told.spares.items())
    try:
        return ("\n".join(lines) + "\n").encode()
    except UnicodeEncodeError:
        raise BadInput("mapping: a text holds half a character; expected plain text") from None


def _toml(value: object) -> str:
    if isinstance(value, tuple):
        return f"[{', '.join(map(_toml, value))}]"
    return (
        str(value)
        if isinstance(value, int)
        else json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    )


class _Keys:
    """The values of a mapping, each as the type that its key needs; None or nothing where the key is left out."""

    def __init__(self, mapping: Mapping[str, object]) -> None:
        self._mapping = mapping

    def text(self, key: str) -> str | None:
        """A text that is not empty."""
        value = self._mapping.get(key)
        if value is not None and not (isinstance(value, str) and value):
            raise self._fault(key, value, "a text")
        return value

    def choice(self, key: str, choices: Mapping[str, _Value]) -> _Value | None:
        """One of a few words."""
        text = self.text(key)
        if text is not None and text.strip().casefold() not in choices:
            raise self._fault(key, text, f"one of {', '.join(choices)}")
        return None if text is None else choices[text.strip().casefold()]

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts; one text stands for a list of one."""
        value = self._mapping.get(key, [])
        if isinstance(value, str):
            return (value,)
        if not isinstance(value, list | tuple) or not all(isinstance(item, str) for item in value):
            raise self._fault(key, value, "a list of texts")
        return tuple(value)

    def line(self, key: str) -> int | None:
        """The number of a line, 0 for none, as a whole number or in digits."""
        value = self._mapping.get(key)
        if isinstance(value, str) and value.isdecimal() and len(value) < 10:
            return int(value)
        if value is not None and (isinstance(value, bool) or not isinstance(value, int) or value < 0):
            raise self._fault(key, value, "the number of a line")
        return value

    def spares(self) -> Mapping[str, str]:
        """A table of spares with the couple that each stands in for, or two lists of one length."""
        value = self._mapping.get("spares", {})
        if isinstance(value, list | tuple):
            spares, couples = self.texts("spares"), self.texts("spare_for")
            if len(spares) == len(couples):
                return dict(zip(spares, couples, strict=True))
        elif isinstance(value, Mapping) and all(isinstance(couple, str) for couple in value.values()):
            return dict(value)
        raise self._fault("spares", value, "a table of each spare and the couple that it stands in for")

    def _fault(self, key: str, value: object, expected: str) -> BadInput:
        return BadInput(f"mapping, {key}: read {echo(str(value)) or 'nothing'}; expected {expected}")
