"""An entry in the register that somebody answers for: instruments, their calibrations, lots."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from traveler.acts.clock import Clock
from traveler.acts.entry import Entry, Refusal
from traveler.acts.register import enter, register_of
from traveler.acts.signing import Meant, Signer, signing
from traveler.job.person import Person
from traveler.job.register import Register
from traveler.job.register_gate import RegisterAct, may_register
from traveler.record.secrets import Secret
from traveler.record.shop import Shop, Writing

Decide = Callable[[Register, datetime, Writing], Entry | Refusal]


def enter_signed(
    shop: Shop,
    clock: Clock,
    person: Person,
    secret: Secret | None,
    act: RegisterAct,
    meant: str,
    decide: Decide,
) -> tuple[Register, tuple[str, ...]]:
    """As ``enter``, by whom it may be done and with their secret where people have some; ``meant`` is what is signed.

    In a shop without registered people anybody enters it, as stated.
    """
    signer = signing(shop, clock, person, secret, Meant(meant))
    if isinstance(signer, Refusal):
        return register_of(shop), signer.reasons
    return enter(shop, clock, signer.person, signed(signer, act, decide))


def signed(signer: Signer, act: RegisterAct, decide: Decide) -> Decide:
    """``decide`` where the signer may do the act; the entry keeps where it was signed from, a refusal is logged."""

    def decide_where_allowed(register: Register, now: datetime, writing: Writing) -> Entry | Refusal:
        allowed = may_register(act, register, signer.person)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        decided = decide(register, now, writing)
        return (
            decided if isinstance(decided, Refusal) else replace(decided, act={**decided.act, **signer.kept})
        )

    return signer.decides(decide_where_allowed)
