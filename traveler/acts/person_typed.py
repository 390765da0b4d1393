"""What is typed about a person: their name, their roles, a welding process and the day on which it was shown."""

import unicodedata
from collections.abc import Iterable
from datetime import date, datetime

from traveler.acts.typed import needed
from traveler.errors import BadInput
from traveler.job.person import ROLES, plain_name
from traveler.library.load import load_library
from traveler.quantity.parse import echo

LONGEST_NAME = 100
JOINERS = "\u200c\u200d"
"""They shape letters in several scripts."""


def name_typed(text: str) -> str:
    """A name that can be seen and told from another. Raises BadInput."""
    name = " ".join(needed(text, "the person's name", "first and last name").split())
    if len(name) > LONGEST_NAME:
        raise BadInput(f"the person's name has {len(name)} characters; expected at most {LONGEST_NAME}")
    invisible = [
        character
        for character in name
        if unicodedata.category(character) == "Cf" and character not in JOINERS
    ]
    if invisible:
        raise BadInput(
            f"the person's name: the character U+{ord(invisible[0]):04X} cannot be seen; leave it out"
        )
    if not any(character.isalnum() for character in plain_name(name)):
        raise BadInput(f'"{echo(name)}" is no name; expected first and last name')
    return name


def roles_typed(roles: Iterable[str]) -> tuple[str, ...]:
    """Roles, each once and in the order in which the register lists them. Raises BadInput."""
    given = {" ".join(role.split()).casefold() for role in roles}
    for role in sorted(given):
        if role not in ROLES:
            raise BadInput(f'"{echo(role)}" is no role; expected some of: {", ".join(ROLES)}')
    return tuple(role for role in ROLES if role in given)


def process_typed(text: str) -> str:
    """A welding process by its ISO 4063 number. Raises BadInput."""
    processes = load_library().processes
    number = text.strip()
    if number not in processes:
        offered = ", ".join(f"{process.number} {process.name}" for process in processes.values())
        raise BadInput(f'"{echo(text)}" is no welding process; expected one of: {offered}')
    return number


def day_shown(text: str, now: datetime) -> date:
    """The day on which a process was shown, not one to come. Raises BadInput."""
    try:
        day = date.fromisoformat(text.strip())
    except ValueError:
        raise BadInput(
            f'"{echo(text)}" is no day on which a process was shown; expected one such as 2026-08-01'
        ) from None
    if day > now.date():
        raise BadInput(f"a process cannot have been shown on {day}, which is still to come")
    return day
