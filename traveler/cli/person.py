"""``person``: the people of the shop, what they are in it, and what they may weld."""

import os
from typing import TYPE_CHECKING

import click

from traveler.cli.common import (
    because_option,
    by_option,
    open_shop,
    shop_option,
    shop_path,
    stated_person,
)
from traveler.cli.ending import DONE
from traveler.cli.group import Group
from traveler.cli.output import say, say_json
from traveler.cli.person_secret import new_secret_of, recover, reset, secret, tell_person
from traveler.cli.secret import Asking, secret_option
from traveler.cli.signing import asked_for
from traveler.errors import BadInput

if TYPE_CHECKING:
    from traveler.acts.entered_person import EnteredPerson

ROLES = ("owner", "welder", "inspector", "engineer", "customer")


@click.group(cls=Group)
def person() -> None:
    """Register the people of the shop, their roles, processes and secrets.

    Without registered people any name is taken as stated. The first person who is registered is an owner; from then on
    only people of the register sign, and with a secret as soon as anybody has one.
    """


person_argument = click.argument("person")


@person.command()
@click.argument("name")
@click.option(
    "--role",
    "roles",
    type=click.Choice(ROLES),
    multiple=True,
    help="What they are in the shop; may be given again.",
)
@click.option(
    "--process",
    "processes",
    metavar="NUMBER=DAY",
    multiple=True,
    help="A welding process (ISO 4063) and the day on which it was shown last; may be given again.",
)
@click.option("--no-secret", is_flag=True, help="Register them without a secret; it may be set later.")
@by_option()
@secret_option
@shop_option
def add(
    name: str,
    roles: tuple[str, ...],
    processes: tuple[str, ...],
    no_secret: bool,
    by: str | None,
    secret_fd: int | None,
) -> int:
    """Bring somebody into the register; the first one becomes an owner.

    The first one gets a recovery code, shown once. Secrets are asked on the terminal: of who registers them, then the
    new person's own, which they type themselves. Status 1: refused.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.people import NewPerson, register_person
    from traveler.acts.register import register_of
    from traveler.record.shop import Shop

    asking, clock = Asking(secret_fd), SystemClock()
    entered = NewPerson(name, roles, dict(_process(text) for text in processes))
    called = entered.checked(clock.now()).name
    if not os.path.lexists(shop_path()):
        new = new_secret_of(called, asking) if asking.possible and not no_secret else None
        with Shop.create(shop_path()) as shop:
            outcome = register_person(shop, clock, None, entered, new_secret=new)
        return _tell_added(outcome, new is not None, f"shop file: {shop.path}")
    with open_shop() as shop:
        register = register_of(shop)
        who = stated_person(by) if register.people else None
        own = asked_for(shop, who, asking) if who else None
        # Without anybody to ask the first one is registered without a secret, and told so.
        may_have_one = own is not None if who else asking.possible
        new = new_secret_of(called, asking) if may_have_one and not no_secret else None
        outcome = register_person(shop, clock, who, entered, new_secret=new, secret=own)
    return _tell_added(outcome, new is not None)


@person.command(name="list")
@click.option("--json", "as_json", is_flag=True, help="Print a JSON list instead of text.")
@shop_option
def list_people(as_json: bool) -> int:
    """List the people of the shop, their roles and what they may weld today."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.people_look import look_at_people

    with open_shop(read_only=True) as shop:
        people = look_at_people(shop, SystemClock())
    if as_json:
        say_json(people)
    else:
        from traveler.report.people_text import people_text

        say(people_text(people))
    return DONE


@person.command()
@person_argument
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
@shop_option
def show(person: str, as_json: bool) -> int:
    """Show one person with everything that was changed about them, and the signatures they were refused."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.people_look import look_at_person

    with open_shop(read_only=True) as shop:
        found = look_at_person(shop, SystemClock(), person)
    if as_json:
        say_json(found)
    else:
        from traveler.report.people_text import person_text

        say(person_text(found))
    return DONE


@person.command()
@person_argument
@click.option(
    "--role",
    "roles",
    type=click.Choice(ROLES),
    multiple=True,
    required=True,
    help="Every role that they have from now on; may be given again.",
)
@because_option("Why they change.")
@by_option()
@secret_option
@shop_option
def roles(person: str, roles: tuple[str, ...], because: str, by: str | None, secret_fd: int | None) -> int:
    """Give a person other roles from now on. Status 1: refused."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.people import change_person

    who = stated_person(by)
    with open_shop() as shop:
        own = asked_for(shop, who, Asking(secret_fd))
        return tell_person(change_person(shop, SystemClock(), who, person, because, roles=roles, secret=own))


@person.command()
@person_argument
@click.argument("name")
@because_option("Why it changes.")
@by_option()
@secret_option
@shop_option
def rename(person: str, name: str, because: str, by: str | None, secret_fd: int | None) -> int:
    """Give a person another name from now on; older records keep the old one. Status 1: refused."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.people import change_person

    who = stated_person(by)
    with open_shop() as shop:
        own = asked_for(shop, who, Asking(secret_fd))
        return tell_person(change_person(shop, SystemClock(), who, person, because, name=name, secret=own))


@person.command()
@person_argument
@because_option("Why they sign no longer.")
@by_option()
@secret_option
@shop_option
def disable(person: str, because: str, by: str | None, secret_fd: int | None) -> int:
    """Let a person sign nothing from now on; they are never deleted. Status 1: refused."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.people import set_active

    who = stated_person(by)
    with open_shop() as shop:
        own = asked_for(shop, who, Asking(secret_fd))
        return tell_person(set_active(shop, SystemClock(), who, person, "disable", because, secret=own))


@person.command()
@person_argument
@because_option("Why they sign again.")
@by_option()
@secret_option
@shop_option
def enable(person: str, because: str, by: str | None, secret_fd: int | None) -> int:
    """Let a disabled person sign again. Status 1: refused."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.people import set_active

    who = stated_person(by)
    with open_shop() as shop:
        own = asked_for(shop, who, Asking(secret_fd))
        return tell_person(set_active(shop, SystemClock(), who, person, "enable", because, secret=own))


@person.command()
@person_argument
@click.argument("process")
@click.option("--on", metavar="DAY", required=True, help="The day on which it was shown, such as 2026-08-01.")
@click.option("--shown-by", metavar="TEXT", required=True, help="What shows it: a test piece, a certificate.")
@by_option()
@secret_option
@shop_option
def process(person: str, process: str, on: str, shown_by: str, by: str | None, secret_fd: int | None) -> int:
    """Enter that a person was shown to weld by a process (ISO 4063 number) outside the jobs. Status 1: refused."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.people import show_process

    who = stated_person(by)
    with open_shop() as shop:
        own = asked_for(shop, who, Asking(secret_fd))
        return tell_person(show_process(shop, SystemClock(), who, person, process, on, shown_by, secret=own))


person.add_command(secret)
person.add_command(reset)
person.add_command(recover)


def _process(text: str) -> tuple[str, str]:
    number, _, day = text.partition("=")
    if not day:
        raise BadInput(f'--process: "{text}" is no process with its day; expected one such as 141=2026-08-01')
    return number, day


def _tell_added(outcome: "EnteredPerson", has_secret: bool, *more: str) -> int:
    # Only the first person sets their own first secret; everybody else's takes a second person.
    how = "reset" if outcome.recovery_code is None else "secret"
    later = f"no secret yet; to set one: traveler person {how} {outcome.person}"
    return tell_person(outcome, *more, *([] if has_secret or not outcome.recorded else [later]))
