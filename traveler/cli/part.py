"""``part``: parts after their job, by serial: where they are, what they went through, when they are due."""

from collections.abc import Callable
from typing import TYPE_CHECKING

import click

from traveler.cli.common import because_option, by_option, open_shop, shop_option, stated_person, tell
from traveler.cli.ending import ANSWER_IS_NO, DONE
from traveler.cli.group import Group
from traveler.cli.output import say, say_json
from traveler.cli.secret import Asking, secret_option
from traveler.cli.signing import asked_for, says
from traveler.errors import BadInput

if TYPE_CHECKING:
    from traveler.acts.clock import SystemClock
    from traveler.acts.parts import Signing
    from traveler.acts.register import Entered
    from traveler.record.shop import Shop

serial_argument = click.argument("serial")
on_option = click.option("--on", metavar="DAY", help="The day, such as 2026-03-02.  [default: today]")
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
hours_option = click.option("--hours", metavar="T", help='Running time, such as "2.5 h".')
distance_option = click.option("--distance", metavar="L", help='How far, such as "180 km" or "110 mi".')


@click.group(cls=Group)
def part() -> None:
    """Follow parts by their serial: what car they are on, their use, when they are inspected, and what was found.

    A part comes out of a closed job. Its counters run from the last inspection that found it fit.
    """


@part.command()
@serial_argument
@click.option("--job", metavar="JOB", required=True, help="The closed job that it was made in.")
@click.option(
    "--design", metavar="TEXT", help="What its spares are known by.  [default: the part of the sheet]"
)
@by_option()
@secret_option
@shop_option
def add(serial: str, job: str, design: str | None, by: str | None, secret_fd: int | None) -> int:
    """Give the part of a closed job a serial, with its dimensions as built. Status 1: the job is not closed."""
    from traveler.acts.parts import register_part

    said = f"gives the part of job {job} the serial {serial}"
    return _enter(
        by, secret_fd, said, lambda shop, clock, who: register_part(shop, clock, who, job, serial, design)
    )


@part.command()
@serial_argument
@click.option("--events", type=int, metavar="N", help="After so many events.")
@hours_option
@distance_option
@click.option("--months", type=int, metavar="N", help="After so many months.")
@because_option("Who or what asks for this interval.")
@by_option()
@secret_option
@shop_option
def every(
    serial: str,
    events: int | None,
    hours: str | None,
    distance: str | None,
    months: int | None,
    because: str,
    by: str | None,
    secret_fd: int | None,
) -> int:
    """Set when a part is inspected again, whichever comes first; what is not given does not count any more."""
    from traveler.acts.parts import Amount, set_interval

    amount = Amount(events, hours, distance, months)
    said = f"sets the interval of part {serial}"
    return _enter(
        by, secret_fd, said, lambda shop, clock, who: set_interval(shop, clock, who, serial, amount, because)
    )


@part.command()
@serial_argument
@click.argument("car")
@on_option
@by_option()
@secret_option
@shop_option
def install(serial: str, car: str, on: str | None, by: str | None, secret_fd: int | None) -> int:
    """Enter that a part is on a car. Status 1: it is entered, and the part is not to be relied on."""
    from traveler.acts.parts import install as act

    return _enter(
        by,
        secret_fd,
        f"installs part {serial} on {car}",
        lambda shop, clock, who: act(shop, clock, who, serial, car, on),
    )


@part.command()
@serial_argument
@because_option("Why it was taken off.")
@on_option
@by_option()
@secret_option
@shop_option
def remove(serial: str, because: str, on: str | None, by: str | None, secret_fd: int | None) -> int:
    """Enter that a part was taken off its car."""
    from traveler.acts.parts import remove as act

    return _enter(
        by,
        secret_fd,
        f"takes part {serial} off its car",
        lambda shop, clock, who: act(shop, clock, who, serial, because, on),
    )


@part.command()
@serial_argument
@click.argument("what")
@click.option("--events", type=int, metavar="N", help="How many events that was.")
@hours_option
@distance_option
@on_option
@by_option()
@secret_option
@shop_option
def use(
    serial: str,
    what: str,
    events: int | None,
    hours: str | None,
    distance: str | None,
    on: str | None,
    by: str | None,
    secret_fd: int | None,
) -> int:
    """Enter what a part was used for, and how much. Status 1: it is entered, and the part is to be inspected."""
    from traveler.acts.parts import Amount
    from traveler.acts.parts import use as act

    amount = Amount(events, hours, distance)
    return _enter(
        by,
        secret_fd,
        f"enters a use of part {serial}",
        lambda shop, clock, who: act(shop, clock, who, serial, what, amount, on),
    )


@part.command()
@serial_argument
@click.argument("what")
@on_option
@by_option()
@secret_option
@shop_option
def crash(serial: str, what: str, on: str | None, by: str | None, secret_fd: int | None) -> int:
    """Enter that a part was in a crash: it is to be inspected now, whatever its counters say. Status 1."""
    from traveler.acts.parts import crash as act

    return _enter(
        by,
        secret_fd,
        f"enters a crash of part {serial}",
        lambda shop, clock, who: act(shop, clock, who, serial, what, on),
    )


@part.command()
@serial_argument
@click.argument("result", type=click.Choice(["fit", "not fit"]))
@click.option("--finding", metavar="TEXT", required=True, help="What was looked at, how, and what was found.")
@click.option(
    "--measured",
    metavar="D=SIZE",
    multiple=True,
    help='A dimension, such as "D1=38.4 mm", held against the one as built; once for each.',
)
@on_option
@by_option()
@secret_option
@shop_option
def inspect(
    serial: str,
    result: str,
    finding: str,
    measured: tuple[str, ...],
    on: str | None,
    by: str | None,
    secret_fd: int | None,
) -> int:
    """Enter an inspection. One that finds the part fit sets its counters to zero. Status 1: it is not to be used."""
    from traveler.acts.parts import inspect as act

    sizes = dict(_dimension(text) for text in measured)
    said = f"finds part {serial} {result}"
    fit = result == "fit"
    return _enter(
        by, secret_fd, said, lambda shop, clock, who: act(shop, clock, who, serial, finding, fit, sizes, on)
    )


@part.command()
@serial_argument
@because_option("Why it goes out of use.")
@on_option
@by_option()
@secret_option
@shop_option
def withdraw(serial: str, because: str, on: str | None, by: str | None, secret_fd: int | None) -> int:
    """Take a part out of use for good."""
    from traveler.acts.parts import withdraw as act

    return _enter(
        by,
        secret_fd,
        f"withdraws part {serial}",
        lambda shop, clock, who: act(shop, clock, who, serial, because, on),
    )


@part.command()
@serial_argument
@click.argument("entry", type=int)
@because_option("What is wrong with the entry.")
@by_option()
@secret_option
@shop_option
def correct(serial: str, entry: int, because: str, by: str | None, secret_fd: int | None) -> int:
    """Supersede a wrong entry by its number, as ``show`` prints it: it stays in the history and counts no more.

    Enter the right one anew. Status 1: it is done, and the part is not to be relied on.
    """
    from traveler.acts.parts import correct as act

    return _enter(
        by,
        secret_fd,
        f"supersedes entry {entry} of part {serial}",
        lambda shop, clock, who: act(shop, clock, who, serial, entry, because),
    )


@part.command(name="list")
@json_option
@shop_option
def list_parts(as_json: bool) -> int:
    """List the parts and how each stands today. The status is 0 whatever that is."""
    from traveler.acts.parts_look import part_objects
    from traveler.report.part_text import parts_text

    with open_shop(read_only=True) as shop:
        found = part_objects(shop, _clock())
    if as_json:
        say_json(found)
    else:
        say(parts_text(found))
    return DONE


@part.command()
@serial_argument
@json_option
@shop_option
def show(serial: str, as_json: bool) -> int:
    """Show a part: its counters, its dimensions as built, its history. Status 1: it is not to be relied on."""
    from traveler.acts.parts_look import one_part
    from traveler.report.part_text import part_text

    with open_shop(read_only=True) as shop:
        found = one_part(shop, _clock(), serial)
    if as_json:
        say_json(found)
    else:
        say(part_text(found))
    return DONE if found["state"] == "fit" else ANSWER_IS_NO


@part.command()
@click.argument("design")
@json_option
@shop_option
def history(design: str, as_json: bool) -> int:
    """Tell what befell every part of a design, whichever serial. Status 1: there is none."""
    from traveler.acts.parts_look import part_objects
    from traveler.report.part_text import history_text

    with open_shop(read_only=True) as shop:
        found = part_objects(shop, _clock(), design)
    if as_json:
        say_json(found)
    else:
        say(history_text(design, found) if found else "There is no part of that design.\n")
    return DONE if found else ANSWER_IS_NO


def _enter(
    by: str | None,
    secret_fd: int | None,
    said: str,
    act: "Callable[[Shop, SystemClock, Signing], Entered]",
) -> int:
    from traveler.acts.parts import Signing

    person = stated_person(by)
    with open_shop() as shop:
        secret = asked_for(shop, person, Asking(secret_fd), says(said))
        return tell(act(shop, _clock(), Signing(person, secret)))


def _clock() -> "SystemClock":
    from traveler.acts.clock import SystemClock

    return SystemClock()


def _dimension(text: str) -> tuple[str, str]:
    name, sign, size = text.partition("=")
    if not sign or not name.strip():
        raise BadInput(f'--measured: read "{text}"; expected a dimension and its size, such as "D1=38.4 mm"')
    return name.strip(), size
