"""``person secret``, ``person reset``, ``person recover``: how a person comes to a secret of their own."""

from typing import TYPE_CHECKING

import click

from traveler.cli.common import because_option, by_option, open_shop, shop_option, stated_person
from traveler.cli.ending import ANSWER_IS_NO, DONE
from traveler.cli.output import put_bytes, say
from traveler.cli.secret import Asking, secret_option
from traveler.cli.signing import asked_for, secret_needed_of

if TYPE_CHECKING:
    from traveler.acts.entered_person import EnteredPerson
    from traveler.record.secrets import Secret

person_argument = click.argument("person")


@click.command()
@person_argument
@click.option(
    "--new-code", is_flag=True, help="Issue a new recovery code with it; the old one is of no use then."
)
@secret_option
@shop_option
def secret(person: str, new_code: bool, secret_fd: int | None) -> int:
    """Set one's own secret: the present one is asked, then the new one twice.

    With --secret-fd: the present one on the first line, the new one on the second. Six digits or more, or eight
    characters or more. Status 1: refused.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.person_secrets import set_own_secret
    from traveler.acts.register import register_of
    from traveler.job.person import Person

    asking = Asking(secret_fd)
    with open_shop() as shop:
        found = register_of(shop).person(person)
        has_one = found.commitment is not None and secret_needed_of(shop, Person(found.id)) is not None
        old = asking.secret(f"present secret of {found.name} ({found.id})") if has_one else None
        new = new_secret_of(f"{found.name} ({found.id})", asking)
        outcome = set_own_secret(shop, SystemClock(), found.id, old, new, new_code=new_code)
    return tell_person(outcome)


@click.command()
@person_argument
@because_option("Why it is set anew.")
@by_option()
@secret_option
@shop_option
def reset(person: str, because: str, by: str | None, secret_fd: int | None) -> int:
    """Set the secret of somebody who lost theirs, with a second person beside them.

    The second person (--by), an owner or an engineer, gives their own secret; then the person types a new one. With
    --secret-fd: in this order, a line each. Status 1: refused.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.person_secrets import reset_secret
    from traveler.acts.register import register_of

    asking, second = Asking(secret_fd), stated_person(by)
    with open_shop() as shop:
        found = register_of(shop).person(person)
        own = asked_for(shop, second, asking)
        new = new_secret_of(f"{found.name} ({found.id}), to be typed by them", asking)
        outcome = reset_secret(shop, SystemClock(), second, own, found.id, new, because)
    return tell_person(outcome)


@click.command()
@person_argument
@secret_option
@shop_option
def recover(person: str, secret_fd: int | None) -> int:
    """Set the secret of an owner by the recovery code that was printed once.

    The code is used up, and the next one is shown. With --secret-fd: the code on the first line, the new secret on the
    second. Status 1: refused.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.person_secrets import recover as recover_secret
    from traveler.acts.register import register_of
    from traveler.record.secrets import recovery_code

    asking = Asking(secret_fd)
    with open_shop() as shop:
        found = register_of(shop).person(person)
        code = recovery_code(asking.secret(f"recovery code of {found.name} ({found.id})").reveal())
        new = new_secret_of(f"{found.name} ({found.id})", asking)
        outcome = recover_secret(shop, SystemClock(), found.id, code, new)
    return tell_person(outcome)


def new_secret_of(whose: str, asking: Asking) -> "Secret":
    """A secret that somebody chooses, looked at before anything is done with it; BadInput where it is too weak."""
    from traveler.errors import BadInput

    chosen = asking.new_secret(f"secret of {whose}")
    weakness = chosen.weakness()
    if weakness is not None:
        raise BadInput(f"this secret is {weakness}")
    return chosen


def tell_person(outcome: "EnteredPerson", *more: str) -> int:
    """Print an outcome, and a new recovery code once; returns the exit status."""
    from traveler.report.words import visible

    lines = (outcome.message, *(f"  {reason}" for reason in outcome.reasons), *more)
    say("".join(f"{visible(line)}\n" for line in lines), unprinted=outcome.message)
    if outcome.recovery_code is not None:
        # Not by way of say: a code that did not arrive must not look as if it had.
        put_bytes(f"{CODE_WORDS}\n\n  {outcome.recovery_code.reveal()}\n".encode())
    return DONE if outcome.recorded else ANSWER_IS_NO


CODE_WORDS = (
    "Recovery code, shown this once. Write it on paper and keep it where nobody else\n"
    "finds it: it sets a new secret when an owner has lost theirs and nobody else\n"
    "can reset it (traveler person recover)."
)
