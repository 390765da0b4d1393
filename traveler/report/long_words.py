"""Which words of the printed texts must not be broken, and which may be wider than their place.

Found here and not by the typesetter, where a function called for each of thousands of texts costs more time and
memory than setting them.
"""

import re
from collections.abc import Iterator, Mapping
from typing import Any

NARROWEST_MM = 20
"""Places for texts are at least so wide, but for a few columns that the templates set with more care."""

_USUAL_PT = 7.8
_EMS = NARROWEST_MM / 25.4 * 72 / _USUAL_PT
_SHARES = {
    " '\\,./ijl|IJ\u00a0": 0.35,
    "-:;f!()[]_`rt°": 0.45,
    '"*?cszçLkvxyý': 0.6,
    "0123456789abdeghnopqu$EFST{}àáâãäåèéêëñòóôõöøùúûü": 0.65,
    "ABCKPRVXYZDGU": 0.75,
    "HNOQw#&+<=>^~": 0.85,
    "mM@%": 0.95,
}
_PLAIN_EM, _SMALL_EM, _KNOWN_EM, _UNKNOWN_EM = 1.0, 1.0, 1.4, 2.0
_LAST_PLAIN, _LAST_KNOWN = "~", "\u04ff"  # ASCII; Latin, Greek and Cyrillic
_RARE = re.compile("[\u0180-\u02ff\u0460-\u0481]")  # small letters made of two, and those of old alphabets
_SHORTEST_LONG = 7


class _Advances(dict[str, float]):
    def __missing__(self, char: str) -> float:
        return _other_em(char)


_EM = _Advances({char: share for chars, share in _SHARES.items() for char in chars})
"""What signs take at most, in parts of the size: the advances of DejaVu Sans Condensed Bold, rounded up."""

_GLUED = re.compile(r"(?<=[0-9]) (?=°|[0-9]+/[0-9])")
_NO_BREAK = "\u00a0"
_FILES = ("embedded", "photos")
"""Parts of a content that name files, which are found by these names."""


def glued(content: Mapping[str, Any]) -> dict[str, Any]:
    """The same with "300 °F" and "1 1/2" as one word each: a space that no line ends at, as other spaces on paper."""
    return {key: value if key in _FILES else _glued(value) for key, value in content.items()}


def _glued(value: Any) -> Any:
    if isinstance(value, str):
        return _GLUED.sub(_NO_BREAK, value) if " " in value else value
    if isinstance(value, dict):
        return {key: _glued(inner) for key, inner in value.items()}
    return [_glued(inner) for inner in value] if isinstance(value, list) else value


def broken(text: str, room_mm: float, size_pt: float) -> str:
    """The text with a line's end inside each word that may be wider than ``room_mm``, and with nothing else put in."""
    room_em = room_mm / 25.4 * 72 / size_pt
    if _widest_em(text) <= room_em:
        return text
    return " ".join(_broken(word, room_em) for word in text.split(" "))


def _broken(word: str, room_em: float) -> str:
    if _widest_em(word) <= room_em:
        return word
    lines, taken = [""], 0.0
    for char in word:
        wide = _widest_em(char)
        if taken + wide > room_em and lines[-1]:
            lines.append("")
            taken = 0.0
        lines[-1] += char
        taken += wide
    return "\n".join(lines)


def marked(content: Any) -> dict[str, list[list[str]]]:
    """The texts with such words, each in pieces with a mark: "whole", "long" or none."""
    found = {}
    for text in set(_texts(content)):
        pieces = _pieces(text)
        if any(mark for mark, _ in pieces):
            found[text] = pieces
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


def _pieces(text: str) -> list[list[str]]:
    """Marked words, and what stands between them in one piece."""
    pieces = [["", ""]]
    for at, word in enumerate(text.split(" ")):
        mark, space = _mark(word), " " if at else ""
        if mark:
            pieces[-1][1] += space
            pieces += [[mark, word], ["", ""]]
        else:
            pieces[-1][1] += space + word
    return [piece for piece in pieces if piece[1]]


def _mark(word: str) -> str:
    if len(word) >= _SHORTEST_LONG and _widest_em(word) > _EMS:
        return "long"
    return "whole" if "/" in word else ""


def fits(text: str, room_mm: float, size_pt: float) -> bool:
    """Whether the text surely stands on one line of that length."""
    return _widest_em(text) <= room_mm / 25.4 * 72 / size_pt


def _widest_em(words: str) -> float:
    return sum(map(_EM.__getitem__, words))


def _other_em(char: str) -> float:
    if char <= _LAST_PLAIN:
        return _PLAIN_EM
    if char > _LAST_KNOWN:
        return _UNKNOWN_EM
    return _SMALL_EM if char.islower() and not _RARE.match(char) else _KNOWN_EM
