"""A sheet that was read, as if it had been entered page by page; what no page asks for is carried as it is. Pure."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from traveler.job.sheet_pages import page_kind
from traveler.job.sheet_rewrite import toml_value
from traveler.job.sheet_toml import parse_toml
from traveler.job.sheet_write import TABLES, YES, Entered, Keys, Kind, carried_keys

Root = Mapping[str, Any]

ARC_IN_PARTS = ("volts", "amps", "travel")


def entered_of(root: Root) -> dict[str, str]:
    """What was entered at each place of the sheet, so that ``write_sheet`` gives the same tables again.

    ``root`` is what ``parse_toml`` gives of a sheet without faults.
    """
    return dict(_of_root(root))


def settled(entered: Entered) -> dict[str, str]:
    """The same without the parts of an arc energy that was entered as a whole: the two would contradict each other."""
    return {
        place: value
        for place, value in entered.items()
        if not (
            place.rpartition(".")[2] in ARC_IN_PARTS
            and place.startswith("joint[")
            and entered.get(f"{place.rpartition('.')[0]}.arc_energy", "").strip()
        )
    }


def carried(entered: Entered, page: str) -> list[tuple[str, str]]:
    """What the sheet says on a page that the page does not ask for: each key and its value in words."""
    keys = TABLES[page_kind(page)]
    return [
        (key.replace("_", " "), _in_words(parse_toml(f"value = {value}")["value"]))
        for key, value in carried_keys(page, keys, entered)
    ]


def _in_words(value: Any) -> str:
    if isinstance(value, Mapping):
        return " ".join(f"{key.replace('_', ' ')} {_in_words(item)}" for key, item in value.items())
    if isinstance(value, list):
        return ", ".join(map(_in_words, value))
    return value if isinstance(value, str) else toml_value(value)


def _of_root(root: Root) -> Iterator[tuple[str, str]]:
    for name, value in root.items():
        keys = TABLES.get(name, {})
        if isinstance(value, list):
            for index, table in enumerate(value):
                yield from _of_table(f"{name}[{index}]", keys, table)
        else:
            yield from _of_table(name, keys, value)


def _of_table(place: str, keys: Keys, table: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for key, value in table.items():
        if key == "member" and place.startswith("joint["):
            for index, member in enumerate(value):
                yield from _of_table(f"{place}.member[{index}]", TABLES["member"], member)
        elif key in keys:
            yield f"{place}.{key}", _typed(keys[key], value)
        else:
            yield f"{place}.{key}", toml_value(value)


def _typed(kind: Kind, value: Any) -> str:
    """As a person types it into a field."""
    if kind == "flag":
        return YES if value else ""
    if isinstance(value, Mapping):
        return ", ".join(f"{element} {_plain(percent)}" for element, percent in value.items())
    if kind == "list":
        return ", ".join(map(str, value))
    return str(value)


def _plain(number: Any) -> str:
    return format(number, "f") if isinstance(number, Decimal) else str(number)
