"""What a key is called, on the screen and in a key file."""

from collections.abc import Sequence
from string import punctuation

from textual.keys import _character_to_key

_NAMES = {
    "escape": "Esc",
    "enter": "Enter",
    "tab": "Tab",
    "shift+tab": "Shift+Tab",
    "space": "Space",
    "backspace": "Backspace",
    "insert": "Insert",
    "delete": "Delete",
    "up": "Up",
    "down": "Down",
    "left": "Left",
    "right": "Right",
    "home": "Home",
    "end": "End",
    "pageup": "Page Up",
    "pagedown": "Page Down",
    **{f"f{number}": f"F{number}" for number in range(1, 13)},
    # h, i, j and m with Ctrl are what a terminal sends for Backspace, Tab and Enter.
    **{f"ctrl+{letter}": f"Ctrl+{letter.upper()}" for letter in "abcdefgklnopqrstuvwxyz"},
}
_SIGNS = {_character_to_key(sign): sign for sign in punctuation}
_BY_NAME = {name.lower().replace(" ", ""): key for key, name in _NAMES.items()}


def key_name(key: str) -> str:
    """A key as it is printed on the keyboard: "Enter", "F10", "r"."""
    return _NAMES.get(key) or _SIGNS.get(key) or key


def is_text(key: str) -> bool:
    """Whether the key puts a character into a field."""
    return len(key) == 1 or key in _SIGNS or key == "space"


def key_meant(name: str) -> str | None:
    """The key of a name as ``key_name`` gives it, large or small, or of one letter, digit or ASCII sign; else None."""
    if len(name) == 1:
        return _character_to_key(name) if name.isalnum() or name in punctuation else None
    return _BY_NAME.get(name.lower().replace(" ", ""))


def joined(names: Sequence[str]) -> str:
    """Names of keys that do the same: "Enter or r", "1 to 9"."""
    if len(names) > 2 and list(names) == [str(int(names[0]) + at) for at in range(len(names))]:
        return f"{names[0]} to {names[-1]}"
    return " or ".join(names)
