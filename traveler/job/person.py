"""Who did it and when: what every event says of both."""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal, NamedTuple, get_args

Role = Literal["owner", "welder", "inspector", "engineer", "customer"]
ROLES: tuple[str, ...] = get_args(Role)

MAY_ACCEPT: tuple[Role, ...] = ("inspector", "engineer", "owner")
"""Roles that may accept a step, answer a question about a reading, or void a nonconformance."""

MAY_DECIDE: tuple[Role, ...] = ("engineer", "owner")
"""Roles that may say that a requirement does not apply, beside the person who decides the job."""

MAY_CONCEDE: tuple[Role, ...] = ("engineer", "owner", "customer")
"""Roles that may let stand what does not comply (ISO 9001 8.7: the deciding authority is recorded [secondary])."""

DRAWN_AS_NOTHING = (
    ("\u034f", "\u034f"),  # grapheme joiner
    ("\u115f", "\u1160"),  # Hangul fillers
    ("\u17b4", "\u17b5"),  # Khmer inherent vowels
    ("\u180b", "\u180f"),  # Mongolian variation selectors
    ("\u2800", "\u2800"),  # Braille pattern blank
    ("\ufe00", "\ufe0f"),  # variation selectors
    ("\U000e0100", "\U000e01ef"),  # the same, supplement
)
"""Characters of other categories than Cf that no terminal draws: the rest of Default_Ignorable_Code_Point, and a blank
(Unicode 15, DerivedCoreProperties [memory])."""


@dataclass(frozen=True, slots=True)
class Person:
    """Who did it, and how that is known: ``stated``, or ``signed`` with a secret given for this act.

    ``id`` and ``roles`` as registered at the time; a person who only stated a name has neither. ``known_as``: other
    names that the register has for the same person; it is no part of an event.
    """

    name: str
    how: str = "stated"
    id: str | None = None
    roles: tuple[str, ...] = ()
    known_as: tuple[str, ...] = ()

    def is_same_as(self, other: "Person") -> bool:
        """By id where both have one, whatever name or role they have by now; else by name.

        Names are compared without regard to case, spacing and how their characters are composed.
        """
        if self.id is not None and other.id is not None:
            return self.id == other.id
        return bool(self._names() & other._names())

    def has_role(self, roles: tuple[Role, ...]) -> bool:
        """Whether a registered person has one of ``roles``; of a stated name no role is known, and none is missed."""
        return self.id is None or any(role in roles for role in self.roles)

    def _names(self) -> set[str]:
        return {plain_name(name) for name in (self.name, *self.known_as)}


@lru_cache(maxsize=4096)  # the same few people and things are compared with each act
def plain_name(name: str) -> str:
    """A name as it is compared with another."""
    # One keyboard sends "ë" as one character, another as two; an invisible one must not make another person.
    composed = unicodedata.normalize("NFKC", name)
    visible = "".join(character for character in composed if not is_invisible(character))
    return " ".join(unicodedata.normalize("NFKC", visible).casefold().split())


def is_invisible(character: str) -> bool:
    """Whether a character is drawn as nothing, so that two texts may look the same with it and without."""
    return unicodedata.category(character) == "Cf" or any(
        first <= character <= last for first, last in DRAWN_AS_NOTHING
    )


def person_of(by: Mapping[str, Any]) -> Person:
    """The person that an event names; ``person`` and ``roles`` came with the register of people."""
    return Person(by["name"], by["how"], by.get("person"), tuple(by.get("roles", ())))


class Moment(NamedTuple):
    """When it happened and when it was written, both ISO 8601 with offset, and its place in the log."""

    happened_at: str
    recorded_at: str
    seq: int


def moment_of(event: Mapping[str, Any]) -> Moment:
    """The two times of an event and its place."""
    return Moment(event["happened_at"], event["recorded_at"], event["seq"])
