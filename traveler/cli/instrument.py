"""``instrument``: what the shop measures with, its calibrations, and what follows when one was found wrong."""

from typing import TYPE_CHECKING

import click

from traveler.cli.common import (
    because_option,
    by_option,
    job_argument,
    open_shop,
    shop_option,
    stated_person,
    tell,
)
from traveler.cli.ending import DONE
from traveler.cli.group import Group
from traveler.cli.output import say, say_json
from traveler.cli.secret import Asking, secret_option
from traveler.cli.signing import asked_for, says

if TYPE_CHECKING:
    from traveler.record.shop import Shop

TYPES = (
    "contact thermometer",
    "thermocouple",
    "recorder",
    "infrared thermometer",
    "temperature crayon",
    "hardness tester",
    "caliper",
    "micrometer",
    "tape",
    "gauge",
    "torque wrench",
    "other",
)

ANSWERS = ("stands", "does not stand")

instrument_argument = click.argument("instrument")


@click.group(cls=Group)
def instrument() -> None:
    """Register the instruments of the shop, their calibrations, and what was found wrong with them.

    An instrument is named by its id (I1), its name or its serial number. A reading keeps it as it stood that day; a
    reading by one that is overdue, withdrawn or of the wrong kind can be recorded and shows nothing.
    """


@instrument.command()
@click.argument("name")
@click.option(
    "--type", "kind", type=click.Choice(TYPES), required=True, help="What kind of instrument it is."
)
@click.option("--from", "range_from", metavar="V", help='Where its range begins, such as "0 F".')
@click.option("--to", "range_to", metavar="V", help='Where its range ends, such as "750 F".')
@click.option(
    "--uncertainty",
    metavar="U",
    help='Expanded uncertainty (k = 2), such as "3 F".  [default: taken as zero]',
)
@click.option("--serial", metavar="NUMBER", help="The maker's serial number.")
@by_option()
@secret_option
@shop_option
def add(
    name: str,
    kind: str,
    range_from: str | None,
    range_to: str | None,
    uncertainty: str | None,
    serial: str | None,
    by: str | None,
    secret_fd: int | None,
) -> int:
    """Bring an instrument into the register. Its id is never used again."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.instruments import NewInstrument, register_instrument

    entered = NewInstrument(name, kind, range_from, range_to, uncertainty, serial)
    person = stated_person(by)
    with open_shop() as shop:
        secret = asked_for(shop, person, Asking(secret_fd), says(f"registers {kind} {name}"))
        return tell(register_instrument(shop, SystemClock(), person, entered, secret=secret))


@instrument.command(name="list")
@click.option("--json", "as_json", is_flag=True, help="Print a JSON list instead of text.")
@shop_option
def list_instruments(as_json: bool) -> int:
    """List the instruments of the shop, and whether each can be relied on today."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.register import register_of, shop_now
    from traveler.job.inventory_view import instrument_object

    with open_shop(read_only=True) as shop:
        now = shop_now(shop, SystemClock())
        found = [instrument_object(entry, now) for entry in register_of(shop).instruments]
    if as_json:
        say_json(found)
    else:
        from traveler.report.inventory_text import instruments_text

        say(instruments_text(found))
    return DONE


@instrument.command()
@instrument_argument
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
@shop_option
def show(instrument: str, as_json: bool) -> int:
    """Show one instrument with everything that was entered about it, by whom and when."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.register_look import look_at_instrument

    with open_shop(read_only=True) as shop:
        found = look_at_instrument(shop, SystemClock(), instrument)
    if as_json:
        say_json(found)
    else:
        from traveler.report.inventory_text import instrument_text

        say(instrument_text(found))
    return DONE


@instrument.command()
@instrument_argument
@click.option("--on", metavar="DAY", required=True, help="The day of the calibration, such as 2026-01-05.")
@click.option("--due", metavar="DAY", required=True, help="The last day on which it counts.")
@click.option("--certificate", metavar="TEXT", required=True, help="Its certificate, or where that is kept.")
@click.option("--uncertainty", metavar="U", help="Expanded uncertainty (k = 2) that the certificate states.")
@by_option()
@secret_option
@shop_option
def calibrated(
    instrument: str,
    on: str,
    due: str,
    certificate: str,
    uncertainty: str | None,
    by: str | None,
    secret_fd: int | None,
) -> int:
    """Enter a calibration. Status 1: it has lapsed already; or refused, because the instrument is withdrawn."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.instruments import calibrated as enter_calibration

    person = stated_person(by)
    said = f"enters that {instrument} was calibrated on {on}, due {due}, by {certificate}"
    with open_shop() as shop:
        secret = asked_for(shop, person, Asking(secret_fd), says(said))
        return tell(
            enter_calibration(
                shop, SystemClock(), person, instrument, on, due, certificate, uncertainty, secret=secret
            )
        )


@instrument.command()
@instrument_argument
@click.option("--finding", metavar="TEXT", required=True, help='What was found, such as "reads 12 F low".')
@click.option("--on", metavar="DAY", help="The day of the finding.  [default: today]")
@click.option(
    "--since",
    metavar="DAY",
    help="The last good calibration, where that is an earlier one.  [default: the latest]",
)
@by_option()
@secret_option
@shop_option
def out(
    instrument: str,
    finding: str,
    on: str | None,
    since: str | None,
    by: str | None,
    secret_fd: int | None,
) -> int:
    """Enter that an instrument was found out of tolerance.

    Every reading that it took since its last good calibration is questioned, in all jobs at once, closed ones too, and
    blocks its step until somebody answers for it. They are listed.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.instruments import found_out

    person = stated_person(by)
    said = f"enters that {instrument} was found out of tolerance: {finding}"
    with open_shop() as shop:
        secret = asked_for(shop, person, Asking(secret_fd), says(said))
        return tell(found_out(shop, SystemClock(), person, instrument, finding, on, since, secret=secret))


@instrument.command()
@instrument_argument
@click.option("--on", metavar="DAY", help="The day of the finding.  [default: today]")
@click.option(
    "--since",
    metavar="DAY",
    help="The last good calibration, where that is an earlier one.  [default: the latest]",
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
@shop_option
def questions(instrument: str, on: str | None, since: str | None, as_json: bool) -> int:
    """Tell which readings a finding would put in question; enters nothing."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.instruments import named, would_question
    from traveler.acts.register import register_of

    with open_shop(read_only=True) as shop:
        good, found = would_question(shop, SystemClock(), instrument, on, since)
        called = named(register_of(shop).instrument(instrument))
    if as_json:
        jobs = [{"job": number, "readings": list(readings)} for number, readings in found]
        say_json({"instrument": called, "since": good.isoformat(), "jobs": jobs})
    else:
        from traveler.report.inventory_text import questioned_text

        say(questioned_text(called, good.isoformat(), found))
    return DONE


@instrument.command()
@instrument_argument
@because_option("Why it is used no longer.")
@by_option()
@secret_option
@shop_option
def withdraw(instrument: str, because: str, by: str | None, secret_fd: int | None) -> int:
    """Take an instrument out of use for good. Status 1: it is withdrawn already."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.instruments import withdraw as withdraw_instrument

    person = stated_person(by)
    with open_shop() as shop:
        secret = asked_for(shop, person, Asking(secret_fd), says(f"withdraws {instrument}: {because}"))
        return tell(withdraw_instrument(shop, SystemClock(), person, instrument, because, secret=secret))


@instrument.command()
@job_argument
@click.argument("answer", type=click.Choice(ANSWERS))
@click.option(
    "--reading",
    "readings",
    metavar="N",
    type=int,
    multiple=True,
    help="A reading by its number; may be given again.  [default: all that wait for an answer]",
)
@because_option("What shows that.")
@by_option(required=True)
@secret_option
@shop_option
def answer(
    job: str, answer: str, readings: tuple[int, ...], because: str, by: str, secret_fd: int | None
) -> int:
    """Answer for readings that are in question: that they stand, or do not.

    A reading that does not stand shows nothing: it takes another one, or a nonconformance. Status 1: refused.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.settling import answer_question
    from traveler.acts.signed_change import Signing

    person, stands = stated_person(by), answer == ANSWERS[0]
    with open_shop() as shop:
        secret = asked_for(
            shop, person, Asking(secret_fd), lambda who: _asked(shop, job, readings, stands, who)
        )
        signing = Signing(shop, SystemClock(), person, job, None, secret)
        return tell(answer_question(signing, stands, because, readings))


def _asked(shop: "Shop", job: str, readings: tuple[int, ...], stands: bool, who: str) -> str:
    """What is answered, as it is shown before the secret is asked."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.look import look
    from traveler.report.inventory_text import questions_shown

    return questions_shown(look(shop, SystemClock(), job), readings, stands, who)
