"""Which columns are temperatures, and what part each of them plays."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from traveler.chart.model import Question, Role, Told
from traveler.chart.reading.cells import UNIT_NAMES
from traveler.chart.reading.columns import Column, listed, lookup
from traveler.chart.reading.time_columns import numbers_the_rows
from traveler.chart.unclear import Unclear
from traveler.errors import BadInput
from traveler.quantity.parse import echo

_COUPLE = re.compile(
    r"\b(?:t/?c|thermo\w*|couples?|temp\w*|ch|channel|kanal|probe|sensor|zone)(?:\b|(?=[\s_\-.]*\d))",
    re.IGNORECASE,
)
_OTHER_QUANTITY = re.compile(
    r"\b(?:humidity|rh|battery|bat|pressure|vacuum|power|volt\w*|current|amp\w*|alarm|status|event|flow|speed|rate|duty"
    r"|oxygen|o2|segment|step|cycle|page|flag)\b",
    re.IGNORECASE,
)
_NOT_ON_THE_PART = re.compile(
    r"furnace|oven|kiln|\bair\b|ambient|atmos|room|set ?-?point|\bsp\b|\bset\b|output|control|program|target|soll"
    r"|ofen|luft|raum|cold junction|\bcj",
    re.IGNORECASE,
)

_FOR_TEXTS = re.compile(
    r"comment|remark|note|mark|event|alarm|message|info|operator|status|text|bemerk|komment|user|flag", re.I
)
_REDUCED = re.compile(r"\b(?:min|max|avg|ave|average|mean|minimum|maximum|mittel\w*)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Assigned:
    """A temperature column with its role; ``spare_for`` is the name of another column."""

    column: Column
    role: Role
    spare_for: str | None = None


def assign(
    columns: Sequence[Column], of_time: Sequence[Column], told: Told
) -> tuple[tuple[Assigned, ...], tuple[str, ...]]:
    """The temperature columns in the order of the file with their roles, and sentences on what else was met.

    ``columns``: all of the file but the time; ``of_time``: those among them that hold times as well. Raises Unclear
    where a column without a unit may be a couple or not, BadInput where a name is not there, is used twice, or no
    part couple is left.
    """
    named = _named(columns, told)
    in_use = [column for column, role in named.items() if role != "ignored"]
    for column in in_use:
        if column.header.measures in ("other", "time") or column in of_time:
            raise BadInput(f"{column.place} is no temperature, which a {named[column]} couple must be")
    with_unit = [column for column in columns if column.header.measures in (*UNIT_NAMES, "kelvin")]
    without = [
        column
        for column in columns
        if column not in (*with_unit, *of_time) and (column in in_use or _may_be_temperature(column))
    ]
    doubtful = [column for column in without if column not in named]
    if told.couples:
        without = [column for column in without if column in named]
    elif doubtful and (with_unit or any(map(_says_something_else, doubtful))):
        raise _which_are_couples(with_unit, without, doubtful)
    found = [column for column in columns if column in with_unit or column in without]
    if not found:
        raise BadInput(f"no column of temperatures was found; the file has {listed(columns)} beside the time")
    left_over: Role = "ignored" if told.couples else "part"
    spares = {
        lookup(columns, spare, "spares"): lookup(columns, couple, "spares")
        for spare, couple in told.spares.items()
    }
    assigned = tuple(
        Assigned(column, named.get(column, left_over), spares[column].name if column in spares else None)
        for column in found
    )
    _check_spares(assigned, spares)
    return assigned, _notes(columns, assigned, named)


def _named(columns: Sequence[Column], told: Told) -> dict[Column, Role]:
    named: dict[Column, Role] = {}
    lists: Mapping[Role, Sequence[str]] = {
        "part": told.couples,
        "furnace": told.furnace,
        "spare": tuple(told.spares),
        "ignored": told.ignored,
    }
    for role, names in lists.items():
        for name in names:
            column = lookup(columns, name, {"part": "couples", "spare": "spares"}.get(role, role))
            if column in named:
                raise BadInput(
                    f'"{echo(name)}" is named as {named[column]} and as {role}; expected one role a column'
                )
            named[column] = role
    return named


def _check_spares(assigned: Sequence[Assigned], spares: Mapping[Column, Column]) -> None:
    parts = [each.column for each in assigned if each.role == "part"]
    if not parts:
        raise BadInput("no part couple is left; expected at least one column of temperatures of the part")
    for spare, couple in spares.items():
        if couple not in parts:
            raise BadInput(
                f"{echo(spare.name)} is a spare for {echo(couple.name)}, which is no part couple; "
                f"expected one of {listed(parts)}"
            )


def _may_be_temperature(column: Column) -> bool:
    """A column without a unit: with numbers in it, with nothing yet, or with anything under the name of a couple."""
    if column.header.measures is not None or column.header.is_of_time or numbers_the_rows(column):
        return False
    silent = column.kinds["no reading"] + column.kinds["empty"] == len(column.cells)
    nameless = column.name == f"column {column.index + 1}"
    if silent and not column.kinds["no reading"] and (nameless or _FOR_TEXTS.search(column.name)):
        return False
    return silent or column.kinds["number"] > 0 or _COUPLE.search(column.name) is not None


def _says_something_else(column: Column) -> bool:
    """Whether nothing but numbers and a missing unit speaks for a temperature, and a name or the cells against it."""
    if _COUPLE.search(column.name) is not None:
        return False
    empty = column.kinds["empty"] == len(column.cells)
    return _OTHER_QUANTITY.search(column.name) is not None or empty or column.kinds["text"] > 0


def _which_are_couples(
    with_unit: Sequence[Column], without: Sequence[Column], doubtful: Sequence[Column]
) -> Unclear:
    every = sorted((*with_unit, *without), key=lambda column: column.index)
    units = {column: "no unit" if column in without else f"in {column.header.unit}" for column in every}
    options = tuple(
        (column.name, f'{units[column]}, begins with "{echo(column.first_cell)}"') for column in every
    )
    return Unclear(
        Question(
            "couples",
            f"{listed(doubtful)} may be temperatures or something else, for no unit is stated: which columns are the "
            "part couples?",
            options,
        )
    )


def _notes(
    columns: Sequence[Column], assigned: Sequence[Assigned], named: Mapping[Column, Role]
) -> tuple[str, ...]:
    notes = []
    suggestive = [
        each.column for each in assigned if each.role == "part" and _NOT_ON_THE_PART.search(each.column.name)
    ]
    for column in suggestive if "part" not in named.values() else ():
        notes.append(
            f"{echo(column.name)} is taken as a required part couple; if it is not on the part, "
            "name it as furnace or ignored"
        )
    reduced = [each.column for each in assigned if each.role == "part" and _REDUCED.search(each.column.name)]
    if reduced:
        notes.append(
            f"by their names no single readings but the lowest, the highest or the mean of several, and a mean hides "
            f"peaks: {listed(reduced)}"
        )
    unnamed = [each.column for each in assigned if each.role == "ignored" and each.column not in named]
    if unnamed:
        notes.append(f"not among the couples that were named, so not judged: {listed(unnamed)}")
    other = [
        column for column in columns if all(column is not each.column for each in assigned) and column.kinds
    ]
    if other:
        notes.append(f"not read as temperatures: {listed(other)}")
    return tuple(notes)
