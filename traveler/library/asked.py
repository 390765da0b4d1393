"""Reading ``asked.toml``: what a sheet may ask for besides what every job asks, in words and choices."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal, get_args

from traveler.library.reading import Table, read_data
from traveler.metals.outcome import Source

AskedType = Literal["number", "choice", "text"]
TYPES: Mapping[str, AskedType] = {kind: kind for kind in get_args(AskedType)}


@dataclass(frozen=True, slots=True)
class Asked:
    """One thing to be stated at a step; ``{about}`` in ``quantity`` stands for what it is asked of.

    ``accepts`` are those of the ``options`` that comply. ``unit`` is that of a number, None else. ``method`` names the
    rule behind it, which ``source`` prints.
    """

    quantity: str
    type: AskedType
    options: tuple[str, ...]
    accepts: tuple[str, ...]
    unit: str | None
    why: str
    where: str
    method: str
    source: Source


@cache
def load_asked() -> Mapping[str, Asked]:
    """Everything that may be asked, by name; read where a sheet asks for any of it, and not before.

    Raises TravelerError naming the data file and the key where one of them is wrong.
    """
    return MappingProxyType(read_asked(read_data("asked.toml")))


def read_asked(data: Table) -> dict[str, Asked]:
    """The entries of a data file by name."""
    entries = data.table("asked")
    asked = {name: _read(entries.table(name)) for name in entries.names()}
    data.done()
    return asked


def _read(table: Table) -> Asked:
    kind = table.text("type")
    if kind not in TYPES:
        raise table.fault("type", kind, "one of " + ", ".join(TYPES))
    entry = Asked(
        quantity=table.text("quantity"),
        type=TYPES[kind],
        options=table.texts("options"),
        accepts=table.texts("accepts"),
        unit=table.text_or_none("unit"),
        why=table.text("why"),
        where=str(table.raw("where")),
        method=table.text("method"),
        source=table.source(),
    )
    if (kind == "choice") != bool(entry.options) or (kind == "number") != bool(entry.unit):
        raise table.fault(
            "type", kind, "options with a choice, a unit with a number, and neither with a text"
        )
    if outside := [option for option in entry.accepts if option not in entry.options]:
        raise table.fault("accepts", outside, "some of the options")
    table.done()
    return entry
