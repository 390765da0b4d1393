"""A code that somebody noted on paper or in a mail, as it is typed back."""

import base64
import re
from dataclasses import dataclass

from traveler.errors import BadInput
from traveler.record.chain import CODE_BITS, CODE_LETTERS, code, letters_of

LONGEST_ECHO = 60

_TYPED = re.compile(
    r"\W*(?:(?:RECORD|CODE|JOURNAL)\W+)?"  # as printed before it
    rf"(?P<code>(?:[A-Z2-7018][\W_]*?){{{CODE_LETTERS}}})"
    r"(?:[\W_]+(?P<events>[0-9]{1,15})(?:\W*EVENTS?\b.*)?)?[\W_]*",
    re.DOTALL,
)


@dataclass(frozen=True, slots=True)
class Noted:
    """``head``: the first ten bytes of a link, which the code stands for; ``events``: how many were noted with it."""

    head: bytes
    events: int | None = None

    def __str__(self) -> str:
        count = "" if self.events is None else f", {self.events} events"
        return f"{code(self.head)}{count}"

    def stands_for(self, link: bytes) -> bool:
        """Whether this is the code of the link."""
        return link[: CODE_BITS // 8] == self.head


def noted_code(typed: str) -> Noted:
    """A code with or without its number of events: ``K3QF-7YQ2-ABCD-EFGH, 12 events``.

    Case, dashes and spaces do not matter, nor 0 for O, 1 for I or 8 for B. BadInput for anything else.
    """
    found = _TYPED.fullmatch(typed.upper())
    if found is None:
        echoed = typed if len(typed) <= LONGEST_ECHO else f"{typed[:LONGEST_ECHO]}..."
        raise BadInput(
            f'"{echoed}" is no code: expected {CODE_LETTERS} letters and digits in fours, such as '
            "K3QF-7YQ2-ABCD-EFGH, with the number of events behind them or not, or the name of a file"
        )
    letters = re.sub(r"[\W_]", "", letters_of(found["code"]))
    events = found["events"]
    return Noted(base64.b32decode(letters), None if events is None else int(events))
