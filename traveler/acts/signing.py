"""Who signs, and whether it is they: the one way in which every signature is asked for, checked and refused."""

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, TypeVar

from traveler.acts.clock import Clock, written
from traveler.acts.entry import Entry, Refusal
from traveler.acts.register import append_to_shop, known, register_of, shop_now
from traveler.acts.session import this_session
from traveler.acts.typed import identified
from traveler.errors import TravelerError
from traveler.job.person import Person
from traveler.job.register import Register
from traveler.job.register_fold import SIGNING_REFUSED
from traveler.job.register_gate import secrets_in_use
from traveler.record.secret_table import Accepted, Refused
from traveler.record.secrets import Secret
from traveler.record.shop import Shop, Writing

S = TypeVar("S")
Decide = Callable[[S, datetime, Writing], Entry | Refusal]

LONGEST_REASON = 500
STALE = "stale: the step has changed since you looked at it; look again"
MEANWHILE = "{} was changed in the register meanwhile; sign again"


@dataclass(frozen=True, slots=True)
class Meant:
    """What is to be signed, as a refusal is logged: ``what`` in a word or two ("accepted"), job and step where any."""

    what: str
    job: str | None = None
    step: int | None = None


@dataclass(frozen=True, slots=True)
class Signer:
    """Somebody whose secret was accepted for this one act, or who may sign as stated where there are no secrets.

    ``kept``: what the act of the event keeps of it, the session; nothing in a shop without registered people.
    """

    person: Person
    meant: Meant
    kept: Mapping[str, Any]
    accepted: Accepted | None = None
    of_register: bool = False

    def decides(self, decide: Decide[S]) -> Decide[S]:
        """``decide`` as this signer's: asked again inside the write whether it still is they; a refusal is logged."""
        if not self.of_register:
            return decide

        def decide_and_log(before: S, now: datetime, writing: Writing) -> Entry | Refusal:
            decided = (
                Refusal((changed,)) if (changed := self._changed(writing)) else decide(before, now, writing)
            )
            if isinstance(decided, Refusal):
                _log(writing, self.meant, self.person, "; ".join(decided.reasons), now)
            return decided

        return decide_and_log

    def _changed(self, writing: Writing) -> str:
        """The secret was compared before the write began; a person may be disabled, or it replaced, in between."""
        register = register_of(writing)
        entry = next(entry for entry in register.people if entry.id == self.person.id)
        same = not entry.disabled and (entry.name, entry.roles) == (self.person.name, self.person.roles)
        proven = writing.is_current(self.accepted) if self.accepted else not secrets_in_use(register)
        return "" if same and proven else MEANWHILE.format(entry.name)


def needs_secret(shop: Shop) -> bool:
    """Whether a signature takes a secret here."""
    return secrets_in_use(register_of(shop))


def signing(
    shop: Shop, clock: Clock, person: Person, secret: Secret | None, meant: Meant
) -> Signer | Refusal:
    """Find who signs and check their secret, outside of any write; half a second where there is a secret.

    In a shop without registered people any name signs as stated. Else it takes a person of the register who is not
    disabled, and their own secret as soon as anybody has one; what is refused is logged in the shop's stream.
    Raises TravelerError where a secret is needed and none was given, BadInput for a name that several bear.
    """
    register = register_of(shop)
    if not register.people:
        return Signer(identified(person), meant, {})
    # What is known of them now counts, whatever they were handed over as.
    found = known(register, Person(identified(person).name if person.id is None else person.id))
    refused = _unfit(register, found)
    if not refused and secrets_in_use(register):
        if secret is None:
            raise TravelerError(f"it takes the secret of {found.name} to sign this; none was given")
        answer = shop.check_secret(str(found.id), secret, shop_now(shop, clock))
        if isinstance(answer, Accepted):
            return Signer(_signed(found), meant, session_kept(), answer, of_register=True)
        refused = refused_in_words(answer, found.name, shop_now(shop, clock))
    if refused:
        log_refused(shop, clock, meant, found, refused)
        return Refusal((refused,))
    return Signer(found, meant, session_kept(), of_register=True)


def is_stale(shown: str | None, current: str) -> bool:
    """Whether what the signer was shown is no longer what stands there; nothing shown is not stale."""
    return shown is not None and shown.strip().upper() != current


def log_refused(shop: Shop, clock: Clock, meant: Meant, person: Person, reason: str) -> None:
    """Note in the shop's stream that somebody was refused."""
    with shop.write() as writing:
        _log(writing, meant, person, reason, shop_now(writing, clock))


def refused_in_words(refused: Refused, name: str, now: datetime) -> str:
    """Why a secret was not accepted."""
    match refused.reason:
        case "wrong":
            return f"wrong secret for {name}" + _next_try(refused.until, now)
        case "locked":
            return f"too many wrong secrets for {name}" + _next_try(refused.until, now)
        case "none":
            return f"{name} has no secret yet; an owner or an engineer may set one with them (traveler person reset)"
        case "altered":
            return f"what the file keeps of the secret of {name} was altered by other means; verify the file"


def _next_try(until: datetime | None, now: datetime) -> str:
    if until is None:
        return ""
    # Rounded up to the second: at the time that is said the try is admitted.
    return f"; the next try is admitted at {written(until.astimezone(now.tzinfo) + timedelta(microseconds=999_999))}"


def _unfit(register: Register, person: Person) -> str:
    if person.id is None:
        return f"{person.name} is not in the register of people"
    if register.person(person.id).disabled:
        return f"{person.name} is disabled"
    return ""


def _signed(person: Person) -> Person:
    return Person(person.name, "signed", person.id, person.roles, person.known_as)


def session_kept() -> dict[str, Any]:
    """What an act keeps of where it was signed from."""
    return {"session": this_session(os.environ)}


def _log(writing: Writing, meant: Meant, person: Person, reason: str, now: datetime) -> None:
    short = reason if len(reason) <= LONGEST_REASON else f"{reason[: LONGEST_REASON - 3]}..."
    act = {
        "job": meant.job,
        "step": meant.step,
        "as": meant.what,
        "person": person.id,
        "name": person.name,
        "reason": short,
    }
    append_to_shop(
        writing, Person(person.name, "stated", person.id, person.roles), Entry(SIGNING_REFUSED, act), now
    )
