"""What the text of a header says: the name of the column, and the unit where there is one."""

import re
import unicodedata
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

Meaning = Literal["degC", "degF", "kelvin", "time", "other"]
"""What a unit measures; "other" is anything but a temperature and a time. A bare K may be a type of couple."""

_DEGREE = r"(?:°|º|˚|deg(?:rees?)?\.?)"
_PER = r"\s?/\s?(?:s|sec|min|h|hr|hour)"
_UNITS: tuple[tuple[Meaning, str], ...] = (
    ("other", rf"(?:{_DEGREE}?\s?[cfk]|℃|℉){_PER}"),
    ("degC", rf"{_DEGREE}\s?c(?:elsius)?|℃|celsius|centigrade"),
    ("degF", rf"{_DEGREE}\s?f(?:ahrenheit)?|℉|fahrenheit"),
    ("kelvin", rf"{_DEGREE}\s?k|kelvin"),
    (
        "other",
        r"%\s?(?:rh|o2|h2|n2)?|[mµμu]v|kv|ma|kw|kwh|mbar|bar|h?pa|[km]pa|psig?|torr|mmhg|ppm|rpm|k?hz|ohm|Ω",
    ),
    ("other", r"n?m3/h|m³/h|l/min|s?cfm"),
)
_WITHOUT_BRACKETS = (
    *_UNITS[:4],
    ("other", r"%\s?(?:rh|o2|h2|n2)?"),
    ("other", r"(?-i:mV|mA|kW|mbar|kPa|hPa|psi|ppm|rpm)"),
)
"""Units that may end a header by themselves; "bar" may not, for there are torsion bars."""

_SINGLE: dict[str, Meaning] = {"c": "degC", "f": "degF", "k": "kelvin"}
_SINGLE_BELOW: dict[str, Meaning] = {**_SINGLE, "v": "other", "a": "other", "w": "other"}
"""In a line of units; in brackets A, V and W are rather places."""
_TIMES = (
    r"m?s|secs?|seconds?|mins?|minutes?|h|hrs?|hours?|std|d|days?|[hmsydtaj:.\-/ ]*(?:h:m|yy|dd|jj|tt)\S*"
)
_TIME_NAME = re.compile(
    r"\b(?:date|time|datetime|timestamp|time stamp|clock|elapsed|duration|hours?|minutes?|seconds?|secs?|hh:mm(?::ss)?"
    r"|\w*zeit\w*|datum|uhrzeit|heure|hora|fecha)\b|^t$",
    re.IGNORECASE,
)
_LONGEST_UNIT = 40
_LONGEST_WITH_UNIT = 200
_BRACKETS = re.compile(r"\s*[\[({<]\s*([^\[\](){}<>]*?)\s*[\])}>]")
_AFTER_TEMPERATURE = re.compile(r"(.*\btemp(?:erature|s|\.)?)[\s,/_]*([CF])", re.IGNORECASE)
_COUNTED = re.compile(r"(.*\S)\s*/\s*(m?s|sec|min|h|hr|std)", re.IGNORECASE)
_AMID = re.compile(rf"(?:(?:°|º|˚|\b{_DEGREE})\s?[CF]|℃|℉)(?![^\W_]|\s?/)", re.IGNORECASE)
_AT_END = [
    (
        meaning,
        re.compile(rf"(?P<name>.*?)(?:^|[\s,;:/_\-]+(?:in\s+)?|(?=[°º˚℃℉%]))(?P<unit>{pattern})\.?", re.I),
    )
    for meaning, pattern in _WITHOUT_BRACKETS
]


@dataclass(frozen=True, slots=True)
class Header:
    """The text over a column, put in one line; its name, which is the text where nothing else is left; its unit."""

    text: str
    name: str
    unit: str | None = None
    measures: Meaning | None = None

    @property
    def is_of_time(self) -> bool:
        """Whether the name, or the unit of a column named t, says time."""
        return self.measures in ("time", None) and _names_time(self.name)

    @property
    def is_bare_k(self) -> bool:
        """Whether the unit is the one letter K, which may name the type of the couple."""
        return self.unit in ("K", "k")


def _names_time(name: str) -> bool:
    return _TIME_NAME.search(name.replace("_", " ")) is not None


def one_line(text: str) -> str:
    """The text without blanks around it, with single spaces and in NFC, as names are kept."""
    return unicodedata.normalize("NFC", " ".join(text.split()))


def folded(text: str) -> str:
    """The text as names are compared: case and blanks do not count."""
    return one_line(text).casefold()


def unit_measures(text: str, single: Mapping[str, Meaning] = _SINGLE_BELOW) -> Meaning | None:
    """What the unit measures that stands alone in a cell, in brackets or not; None for a text that is no unit."""
    bare = one_line(text).strip("[](){}<> ").casefold()
    if len(bare) > _LONGEST_UNIT:
        return None
    if bare in single:
        return single[bare]
    for meaning, pattern in _UNITS:
        if re.fullmatch(pattern, bare, re.IGNORECASE):
            return meaning
    return "time" if re.fullmatch(_TIMES, bare) else None


def read_headers(texts: Sequence[str], units: Sequence[str]) -> list[Header]:
    """The header of each column from its name and from the cell of the units line ("" where there is none).

    One letter in brackets is a unit only where it cannot be a place: not beside TC (A), TC (B), TC (C).
    """
    places = _letters_are_places(texts)
    return [
        _with_unit_below(_of_text(one_line(text), places), one_line(unit))
        for text, unit in zip(texts, units, strict=True)
    ]


def unique(names: Sequence[str]) -> list[str]:
    """The names, each again one with its count behind it: TC1, TC1 (2)."""
    taken: set[str] = set()
    counts: Counter[str] = Counter()
    result = []
    for name in names:
        counts[folded(name)] += 1
        candidate = name
        while folded(candidate) in taken:
            counts[folded(name)] += candidate != name
            candidate = f"{name} ({max(2, counts[folded(name)])})"
        taken.add(folded(candidate))
        result.append(candidate)
    return result


def _with_unit_below(header: Header, unit: str) -> Header:
    measures = unit_measures(unit) if unit else None
    if measures is None or header.measures is not None:
        return header
    return Header(
        f"{header.text} ({unit.strip('[](){}<> ')})", header.name, unit.strip("[](){}<> "), measures
    )


def _of_text(text: str, letters_are_places: bool) -> Header:
    if len(text) > _LONGEST_WITH_UNIT:
        return Header(text, text)
    for found in _BRACKETS.finditer(text):
        unit = found[1]
        measures = unit_measures(unit, _SINGLE)
        if measures is None or (len(unit) == 1 and letters_are_places):
            continue
        name = one_line(text[: found.start()] + text[found.end() :])
        if measures == "time" and not _names_time(name):
            continue  # TC1 (min) is the lowest of TC1, not a time
        return Header(text, name or text, unit, measures)
    if (letter := _AFTER_TEMPERATURE.fullmatch(text)) is not None:
        return Header(text, letter[1], letter[2], _SINGLE[letter[2].casefold()])
    for meaning, pattern in _AT_END:
        if (ending := pattern.fullmatch(text)) is not None:
            return Header(text, ending["name"].strip() or text, ending["unit"], meaning)
    if (counted := _COUNTED.fullmatch(text)) is not None and _names_time(counted[1]):
        return Header(text, counted[1], counted[2], "time")
    if (amid := _AMID.search(text)) is not None:
        return Header(text, text, amid[0], "degC" if amid[0][-1] in "Cc℃" else "degF")
    return Header(text, text)


def _letters_are_places(texts: Sequence[str]) -> bool:
    letters: dict[str, set[str]] = {}
    for text in texts:
        for found in _BRACKETS.finditer(one_line(text)[:_LONGEST_WITH_UNIT]):
            if len(found[1]) == 1 and found[1].isalpha():
                name = one_line(text[: found.start()] + text[found.end() :])
                letters.setdefault(folded(name), set()).add(found[1].casefold())
    every = set().union(*letters.values())
    return any(len(of_name) > 1 for of_name in letters.values()) or not every <= {*_SINGLE, "s", "h"}
