"""Secrets of people: a new one set by the person, with a second person beside them, or by the recovery code."""

from datetime import datetime
from typing import Literal

from traveler.acts.clock import Clock
from traveler.acts.entered_person import EnteredPerson, enter_all
from traveler.acts.entry import Entry, Refusal
from traveler.acts.people import titled
from traveler.acts.register import register_of, shop_now
from traveler.acts.signing import Meant, Signer, log_refused, refused_in_words, session_kept, signing
from traveler.acts.typed import reason_given
from traveler.job.person import Person
from traveler.job.register import Register, RegisteredPerson
from traveler.job.register_fold import RECOVERY_CODE, SECRET_SET
from traveler.job.register_gate import SetSecret, may_register, secrets_in_use
from traveler.record.secret_table import Accepted
from traveler.record.secrets import Secret, Verifier, new_recovery_code, new_verifier
from traveler.record.shop import Shop, Writing

ByWhom = Literal["own", "reset", "recovery"]
UNCHANGED = "the secret of {} is unchanged"


def set_own_secret(
    shop: Shop, clock: Clock, who: str, old: Secret | None, new: Secret, *, new_code: bool = False
) -> EnteredPerson:
    """A person's new secret in place of ``old``, their present one.

    Without an old one only an owner may set one, as long as nobody has any; everybody else's first is set with a
    second person (``reset_secret``). An owner gets a recovery code with it where they have none, or ask for one
    (``new_code``).
    """
    register = register_of(shop)
    asked = register.person(who)
    verifier = new_verifier(new)
    if secrets_in_use(register) and asked.commitment is None:
        # There is nothing to check: say at once who has to stand by.
        allowed = may_register(SetSecret(asked.id, "own"), register, asked.acting("signed"))
        return EnteredPerson(False, UNCHANGED.format(titled(asked)), register, allowed.reasons)
    signer = signing(shop, clock, asked.acting("stated"), old, Meant("set own secret"))
    if isinstance(signer, Refusal):
        return EnteredPerson(False, UNCHANGED.format(titled(asked)), register_of(shop), signer.reasons)
    wants_code = "owner" in asked.roles and (new_code or asked.recovery_commitment is None)
    return _set(shop, clock, signer, asked, "own", verifier, with_code=wants_code)


def reset_secret(
    shop: Shop,
    clock: Clock,
    person: Person,
    secret: Secret | None,
    who: str,
    new: Secret,
    because: str,
) -> EnteredPerson:
    """A new secret for somebody who lost theirs or never had one, typed by them.

    ``person``, a second person with a secret of their own, stands by and answers for it.
    """
    reason = reason_given(because)
    asked = register_of(shop).person(who)
    verifier = new_verifier(new)
    signer = signing(shop, clock, person, secret, Meant("reset a secret"))
    if isinstance(signer, Refusal):
        return EnteredPerson(False, UNCHANGED.format(titled(asked)), register_of(shop), signer.reasons)
    return _set(shop, clock, signer, asked, "reset", verifier, because=reason)


def recover(shop: Shop, clock: Clock, who: str, code: Secret, new: Secret) -> EnteredPerson:
    """A new secret for an owner by their printed recovery code, which is used up: the outcome has the next one.

    Wrong codes are counted and waited for like wrong secrets, and apart from these.
    """
    register = register_of(shop)
    asked = register.person(who)
    person, meant = asked.acting("stated"), Meant("recover")
    allowed = may_register(SetSecret(asked.id, "recovery"), register, person)
    reasons = allowed.reasons
    if allowed.granted:
        verifier = new_verifier(new)
        answer = shop.check_secret(asked.id, code, shop_now(shop, clock), "recovery")
        if isinstance(answer, Accepted):
            signer = Signer(person, meant, session_kept(), answer, of_register=True)
            return _set(shop, clock, signer, asked, "recovery", verifier, with_code=True)
        words = refused_in_words(answer, asked.name, shop_now(shop, clock)).replace(
            "secret", "recovery code", 1
        )
        reasons = (words,)
    log_refused(shop, clock, meant, person, "; ".join(reasons))
    return EnteredPerson(False, UNCHANGED.format(titled(asked)), register_of(shop), reasons)


def _set(
    shop: Shop,
    clock: Clock,
    signer: Signer,
    asked: RegisteredPerson,
    by_whom: ByWhom,
    verifier: Verifier,
    *,
    with_code: bool = False,
    because: str | None = None,
) -> EnteredPerson:
    code, kept_code = new_recovery_code() if with_code else (None, None)
    reason = {} if because is None else {"because": because}

    def entries(register: Register, now: datetime, writing: Writing) -> list[Entry]:
        commitment = writing.put_secret(asked.id, verifier, now)
        act = {"person": asked.id, "by_whom": by_whom, "commitment": commitment, **reason, **signer.kept}
        made = [Entry(SECRET_SET, act)]
        if kept_code is not None:
            commitment = writing.put_secret(asked.id, kept_code, now, "recovery")
            made.append(Entry(RECOVERY_CODE, {"person": asked.id, "commitment": commitment, **signer.kept}))
        return made

    register, refused = enter_all(shop, clock, signer, SetSecret(asked.id, by_whom), entries)
    if refused:
        return EnteredPerson(False, UNCHANGED.format(titled(asked)), register, refused)
    return EnteredPerson(True, f"the secret of {titled(asked)} is set", register, (), asked.id, code)
