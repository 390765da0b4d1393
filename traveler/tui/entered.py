"""What is typed into forms, and what is told of it once it was recorded or refused."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from traveler.acts.typed import printable
from traveler.errors import BadInput

if TYPE_CHECKING:
    # What is done to a job comes with the first job that is opened, after the board.
    from traveler.acts.change import Outcome

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Told:
    """What came of an act: written or not, complying or not, in a sentence, with the reasons behind it."""

    recorded: bool
    complies: bool
    words: str
    reasons: tuple[str, ...] = ()

    @property
    def sentence(self) -> str:
        """The words and the reasons in one line."""
        return f"{self.words}; still open: {'; '.join(self.reasons)}" if self.reasons else self.words


@dataclass(frozen=True, slots=True)
class Remark:
    """What is to be known of the shop's file: in a few words for a line of the board, and as a sentence."""

    brief: str
    sentence: str


class FieldFault(BadInput):
    """What was typed into one field of a form cannot be used; ``field`` names it."""

    def __init__(self, field: str, words: str) -> None:
        super().__init__(words)
        self.field = field


def told(outcome: "Outcome") -> Told:
    """What an act says of itself, as it is."""
    return Told(outcome.recorded, outcome.complies, outcome.message, outcome.reasons)


def in_field(field: str, act: Callable[[], T]) -> T:
    """What ``act`` gives; what it finds wrong with the input is a fault of that field."""
    try:
        return act()
    except FieldFault:
        raise
    except BadInput as error:
        raise FieldFault(field, str(error)) from error


def said(typed: Mapping[str, str], field: str, missing: str) -> str:
    """Text that must be there. Raises FieldFault with ``missing`` where it is not."""
    text = in_field(field, lambda: printable(typed.get(field), field))
    if text is None:
        raise FieldFault(field, missing)
    return text


def reason(typed: Mapping[str, str]) -> str:
    """The field "because". Raises FieldFault where it is empty."""
    return said(typed, "because", "a reason is needed: say in words why")


def said_or_none(typed: Mapping[str, str], field: str) -> str | None:
    """Text that may be left out. Raises FieldFault for what cannot be recorded."""
    return in_field(field, lambda: printable(typed.get(field), field))


def whole_number(field: str, typed: str) -> int | None:
    """A whole number from a field, None where it is empty. Raises FieldFault."""
    text = typed.strip()
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and len(text) <= 6):
        raise FieldFault(field, f'"{text[:20]}" is no whole number; expected one such as 3')
    return int(text)


def whole_numbers(field: str, typed: str) -> tuple[int, ...]:
    """Whole numbers with commas between them; none where the field is empty. Raises FieldFault."""
    numbers = (whole_number(field, part) for part in typed.split(","))
    return tuple(number for number in numbers if number is not None)


def names(typed: str) -> tuple[str, ...]:
    """Names with commas between them."""
    return tuple(name.strip() for name in typed.split(",") if name.strip())
