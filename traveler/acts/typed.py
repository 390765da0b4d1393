"""What a person typed, read as a value of a requirement."""

import re
import unicodedata
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from traveler.errors import BadInput
from traveler.job.person import Person
from traveler.quantity.parse import EXPECTED, parse_quantity, unit
from traveler.quantity.quantity import Quantity
from traveler.quantity.units import Kind

if TYPE_CHECKING:
    from traveler.job.requirement import Bound, Requirement

_CRAYON = re.compile(
    r"(?:(?P<melts>melts|melted)|holds|held|(?:does|did) not melt)(?: at)? +(?P<mark>.*)",
    re.IGNORECASE | re.DOTALL,
)

BELOW_ZERO = (Kind.TEMPERATURE, Kind.SPAN)
LONGEST = 500
"""Characters that a place, a lot or a reason may have."""


@dataclass(frozen=True, slots=True)
class Typed:
    """Value and unit symbol for the event (unit None for words), and the text as typed.

    ``bound``: the value is the mark of a temperature crayon, ``at_least`` where it melts, ``at_most`` where it holds.
    """

    value: str
    unit: str | None
    typed: str
    bound: "Bound | None" = None


def check_pieces(pieces: int) -> None:
    """Raises BadInput for what is no number of pieces."""
    from traveler.job.sheet_pieces import MOST_PIECES

    if not 1 <= pieces <= MOST_PIECES:
        raise BadInput(f"{pieces} is no number of pieces; expected a whole number from 1 to {MOST_PIECES}")


def typed_value(requirement: "Requirement", text: str) -> Typed:
    """Read ``text`` for a requirement: a quantity of its kind, one of its options, or words. Raises BadInput.

    Of a temperature crayon "melts 300 F" says that the metal was at least about that hot, "holds 350 F" (or "does not
    melt 350 F") that it was cooler.
    """
    entered = printable(text, requirement.quantity)
    if entered is None:
        raise BadInput(f"{requirement.quantity}: nothing was entered")
    if requirement.type == "choice":
        return _choice(requirement, entered)
    if requirement.type == "text":
        return Typed(entered, None, entered)
    wanted = unit(requirement.unit or "")
    if wanted.kind is Kind.ARC_ENERGY:
        from traveler.quantity.arc_typed import parse_arc_energy

        energy = parse_arc_energy(entered)
        return Typed(energy.text, energy.unit.symbol, entered)
    crayon = _CRAYON.fullmatch(entered)
    if crayon is not None:
        return _mark(requirement, wanted.kind, crayon, entered)
    quantity = parse_quantity(entered, wanted.kind)
    if wanted.kind is Kind.HARDNESS and quantity.unit.symbol != wanted.symbol:
        raise BadInput(
            f"{requirement.quantity}: the limit is in {wanted.label} and one scale is not converted into another; "
            f'"{entered[:40]}" was read in {quantity.unit.label}'
        )
    _refuse_slipping_under(requirement, quantity, entered)
    return Typed(quantity.text, quantity.unit.symbol, entered)


def _mark(requirement: "Requirement", kind: Kind, crayon: re.Match[str], entered: str) -> Typed:
    """The mark of a temperature crayon, as the bound that it shows."""
    if kind is not Kind.TEMPERATURE:
        raise BadInput(
            f'{requirement.quantity}: "{entered[:40]}" is what a temperature crayon does; expected {EXPECTED[kind]}'
        )
    mark = parse_quantity(crayon["mark"], kind)
    return Typed(mark.text, mark.unit.symbol, entered, "at_least" if crayon["melts"] else "at_most")


def _refuse_slipping_under(requirement: "Requirement", quantity: Quantity, entered: str) -> None:
    """A cooling rate typed as -300 C/h would pass any maximum; a minimum catches its own negatives."""
    if quantity.number < 0 and requirement.at_least is None and quantity.unit.kind not in BELOW_ZERO:
        raise BadInput(
            f'{requirement.quantity}: "{entered[:40]}" is below zero; expected the amount without a minus sign'
        )


def identified(person: Person) -> Person:
    """The person with the name as it may stand in the record; BadInput where there is none."""
    name = printable(person.name, "name")
    if name is None:
        raise BadInput("it must be said who does this: a name is missing (--by)")
    return Person(name, person.how)


def by_of(person: Person) -> dict[str, Any]:
    """Who did it as an event keeps it, a registered person with id and roles. BadInput where there is no name."""
    by = identified(person)
    known = {} if person.id is None else {"person": person.id, "roles": list(person.roles)}
    return {"name": by.name, "how": by.how, **known}


def printable(text: str | None, place: str) -> str | None:
    """Text as it may stand in the record: NFC, trimmed, no control characters; None where nothing is left."""
    if text is None:
        return None
    trimmed = unicodedata.normalize("NFC", text.strip())
    if len(trimmed) > LONGEST:
        raise BadInput(f"{place}: {len(trimmed)} characters are too many; expected at most {LONGEST}")
    for character in trimmed:
        if unicodedata.category(character) in ("Cc", "Cs", "Zl", "Zp") and character != "\n":
            raise BadInput(f"{place}: the character U+{ord(character):04X} cannot be recorded; leave it out")
    return trimmed.replace("\n", " ") or None


def needed(text: str, place: str, expected: str) -> str:
    """Text that must be there, as it may stand in the record; BadInput with what was expected where it is empty."""
    given = printable(text, place)
    if given is None:
        raise BadInput(f"{place} is missing; expected {expected}")
    return given


def reason_given(because: str) -> str:
    """The reason, or BadInput where none was given."""
    reason = printable(because, "reason")
    if reason is None:
        raise BadInput("a reason is needed (--because): say in words why")
    return reason


def _choice(requirement: "Requirement", entered: str) -> Typed:
    folded = " ".join(entered.split()).casefold()
    for option in requirement.options:
        if option.casefold() == folded:
            return Typed(option, None, entered)
    starting = [option for option in requirement.options if option.casefold().startswith(folded)]
    if len(starting) == 1:
        return Typed(starting[0], None, entered)
    offered = "; ".join(requirement.options)
    raise BadInput(f'{requirement.quantity}: "{entered[:40]}" is none of: {offered}')
