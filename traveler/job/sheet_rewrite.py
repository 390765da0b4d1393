"""A job sheet written out as TOML: what was read comes out again with every value as it was typed."""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

Root = Mapping[str, Any]
Remarks = Mapping[tuple[str, int], Sequence[str]]
"""Lines to stand under a table, by its name and its place among those of that name."""

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def write_sheet(root: Root, head: Sequence[str] = (), remarks: Remarks | None = None) -> str:
    """The sheet of these tables; ``head`` and ``remarks`` become comments.

    ``root`` is what ``parse_toml`` gives of a sheet without faults: tables and lists of tables. Read again it is the
    same, to the last digit of a number.
    """
    below = remarks or {}
    blocks = [[_comment(line) for line in head]] if head else []
    for key, value in root.items():
        tables = value if isinstance(value, list) else [value]
        title = f"[[{_key(key)}]]" if isinstance(value, list) else f"[{_key(key)}]"
        for place, table in enumerate(tables):
            lines = [title, *(_line(name, item) for name, item in table.items())]
            blocks.append([*lines, *(_comment(line) for line in below.get((key, place), ()))])
    return "\n\n".join("\n".join(block) for block in blocks) + "\n"


def toml_text(text: str) -> str:
    """A text in quotes, as TOML reads it."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")


def toml_value(value: Any) -> str:
    """A value on one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return toml_text(value)
    if isinstance(value, Decimal):
        return _number(value)
    if isinstance(value, Mapping):
        inner = ", ".join(f"{_key(key)} = {toml_value(item)}" for key, item in value.items())
        return f"{{ {inner} }}" if inner else "{}"
    if isinstance(value, list):
        return f"[{', '.join(toml_value(item) for item in value)}]"
    return str(value)


def _number(value: Decimal) -> str:
    """TOML wants a point or an exponent in what is no whole number, and digits on both sides of it."""
    text = str(value)
    return text if re.search("[.Ee]", text) else f"{text}.0"


def _line(key: str, value: Any) -> str:
    if isinstance(value, list) and value and all(isinstance(item, Mapping) for item in value):
        return f"{_key(key)} = [\n" + ",\n".join(f"  {toml_value(item)}" for item in value) + ",\n]"
    return f"{_key(key)} = {toml_value(value)}"


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else toml_text(key)


def _comment(line: str) -> str:
    return "# " + "".join(_printable(line))


def _printable(line: str) -> Iterator[str]:
    """A comment of TOML ends with its line and holds no control characters."""
    for sign in line:
        yield sign if sign.isprintable() else " "
