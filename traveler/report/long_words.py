"""Which words of the printed texts must not be broken, and which may be wider than their place.

Found here and not by the typesetter, where a function called for each of thousands of texts costs more time and
memory than setting them.
"""

import re
from collections.abc import Iterator
from typing import Any

NARROWEST_MM = 20
"""Places for texts are at least so wide, but for a few columns that the templates set with more care."""

_USUAL_PT = 7.8
_EMS = NARROWEST_MM / 25.4 * 72 / _USUAL_PT
_SHARES = {
    "fijlrt.,:;/()[]'|- °": 0.45,
    "abcdeghknopqsuvxyz0123456789àáâãäåçèéêëñòóôõöøùúûüý": 0.66,
    "mw": 0.94,
}
_EM = {char: share for chars, share in _SHARES.items() for char in chars}
"""What signs take at most, in parts of the size: the advances of DejaVu Sans Condensed Bold, rounded up."""
_PLAIN_EM, _SMALL_EM, _KNOWN_EM, _UNKNOWN_EM = 1.0, 1.0, 1.4, 2.0
_LAST_PLAIN, _LAST_KNOWN = "~", "\u04ff"  # ASCII; Latin, Greek and Cyrillic
_RARE = re.compile("[\u0180-\u02ff\u0460-\u0481]")  # small letters made of two, and those of old alphabets
_SHORTEST_LONG = 7

_TOGETHER = re.compile(r"[/°]|[0-9] [0-9]+/[0-9]")
_GLUED = re.compile(r" (?=°|[0-9]+/[0-9])")
_SPACE = "\x00"  # no printed text holds it: control characters are spelled out


def marked(content: Any) -> dict[str, list[list[str]]]:
    """The texts with such words, each as its words with a mark: "whole", "long" or none."""
    found = {}
    for text in set(_texts(content)):
        words = _words(text)
        if any(mark for mark, _ in words):
            found[text] = words
    return dict(sorted(found.items()))


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for inner in value.values():
            yield from _texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _texts(inner)


def _words(text: str) -> list[list[str]]:
    """Words with their marks; "300 °F" and "1 1/2" are one word each."""
    parts = _GLUED.sub(_SPACE, text).split(" ") if _TOGETHER.search(text) else text.split(" ")
    return [[_mark(part), part.replace(_SPACE, " ")] for part in parts]


def _mark(word: str) -> str:
    if len(word) >= _SHORTEST_LONG and _widest_em(word) > _EMS:
        return "long"
    return "whole" if "/" in word or _SPACE in word else ""


def _widest_em(word: str) -> float:
    return sum(_EM.get(char) or _other_em(char) for char in word)


def _other_em(char: str) -> float:
    if char <= _LAST_PLAIN:
        return _PLAIN_EM
    if char > _LAST_KNOWN:
        return _UNKNOWN_EM
    return _SMALL_EM if char.islower() and not _RARE.match(char) else _KNOWN_EM
