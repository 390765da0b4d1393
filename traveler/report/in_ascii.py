"""Text for a terminal or a printer that has no character outside ASCII."""

import re
from collections.abc import Mapping
from typing import Any


def _in_ascii(text: str) -> str:
    """A temperature as "300 F" and a difference as "25 C deg": one is never the other."""
    return re.sub("(?<=[CF])°", " deg", text).replace("°", "").replace("±", "+/-")


def in_ascii(value: Any) -> Any:
    """Every text of a routes object in ASCII before it is laid out, so that columns stay columns."""
    if isinstance(value, str):
        return _in_ascii(value)
    if isinstance(value, Mapping):
        return {key: in_ascii(entry) for key, entry in value.items()}
    return [in_ascii(entry) for entry in value] if isinstance(value, list) else value
