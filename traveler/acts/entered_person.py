"""What came of an act on the register of people, and the road that each of them takes."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from traveler.acts.clock import Clock
from traveler.acts.entry import Entry, Refusal
from traveler.acts.register import append_to_shop, enter
from traveler.acts.signing import Signer
from traveler.job.register import Register
from traveler.job.register_gate import RegisterAct, may_register
from traveler.record.secrets import Secret
from traveler.record.shop import Shop, Writing

Entries = Callable[[Register, datetime, Writing], Sequence[Entry]]


@dataclass(frozen=True, slots=True)
class EnteredPerson:
    """Recorded or refused, in a sentence, with the register after it and the id of whom it is about.

    ``recovery_code``: a new one, to be shown once and written down; the file keeps only its hash.
    """

    recorded: bool
    message: str
    register: Register
    reasons: tuple[str, ...] = ()
    person: str | None = None
    recovery_code: Secret | None = None


def enter_all(
    shop: Shop, clock: Clock, signer: Signer, act: RegisterAct, entries: Entries
) -> tuple[Register, tuple[str, ...]]:
    """Append the events of one act on the register in one transaction, if the signer may do it.

    Returns the register after it, and the reasons where it was refused. ``entries`` may store a secret on the way.
    """

    def decide(register: Register, now: datetime, writing: Writing) -> Entry | Refusal:
        allowed = may_register(act, register, signer.person)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        *first, last = entries(register, now, writing)
        for entry in first:
            append_to_shop(writing, signer.person, entry, now)
        return last

    return enter(shop, clock, signer.person, signer.decides(decide))
