"""``record``, ``supersede``, ``retry``: what is entered at the bench."""

import re
from typing import TYPE_CHECKING

import click

from traveler.cli.common import (
    because_option,
    by_option,
    job_argument,
    joint_option,
    open_shop,
    shop_option,
    stated_person,
    tell,
    tell_lines,
)
from traveler.cli.secret import Asking, secret_option
from traveler.cli.signed import content_option
from traveler.cli.signing import asked_for_step
from traveler.errors import BadInput

if TYPE_CHECKING:
    from traveler.acts.change import Outcome

_NEGATIVE = re.compile(r"-\s*[.]?[0-9]")


class ValueCommand(click.Command):
    """A command whose last argument is a value, which may begin with a minus sign: ``-20 F``."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Put a negative value behind ``--``, where nothing is taken for an option."""
        options = args[: args.index("--")] if "--" in args else args
        for place, text in enumerate(options):
            # Every other option of such a command takes a value, and that one is click's to read.
            before = options[place - 1] if place else ""
            of_an_option = before.startswith("--") and "=" not in before and before != "--from-vendor"
            if _NEGATIVE.match(text) and not of_an_option:
                return super().parse_args(ctx, [*args[:place], *args[place + 1 :], "--", text])
        return super().parse_args(ctx, args)


@click.command(cls=ValueCommand)
@job_argument
@click.argument("step", type=int)
@click.argument("quantity")
@click.argument("value")
@joint_option
@click.option("--place", metavar="P", help="Where it was read.")
@click.option("--run", metavar="N", type=int, help="The run of weld it belongs to.  [default: the next one]")
@click.option(
    "--instrument", metavar="I", help="What it was read with: its id, name or serial number, or words."
)
@click.option("--at", metavar="TIME", help="When it was read, in ISO 8601.  [default: now]")
@click.option(
    "--from-vendor", is_flag=True, help="It stands in the papers of the vendor; nobody read it here."
)
@by_option()
@shop_option
def record(
    job: str,
    step: int,
    quantity: str,
    value: str,
    joint: str | None,
    place: str | None,
    run: int | None,
    instrument: str | None,
    at: str | None,
    from_vendor: bool,
    by: str | None,
) -> int:
    """Record a reading as it was made, complying or not.

    QUANTITY is one that the step asks for ("preheat temperature"), VALUE what was read, with its unit ("312 F",
    "-5 C"). Status 1: recorded, but outside its limit; or refused, because the job has ended.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.readings import NewReading, record_reading

    if at is not None and not at.strip():
        raise BadInput("--at is empty; leave it out for now, or say when, such as 2026-11-25T14:30")
    entered = NewReading(step, quantity, value, joint, place, run, instrument, at, from_vendor)
    person = stated_person(by)
    with open_shop() as shop:
        return tell_entry(record_reading(shop, SystemClock(), person, job, entered), step)


@click.command()
@job_argument
@click.argument("reading", type=int)
@click.option(
    "--value",
    metavar="V",
    help="What should stand there.  [default: without an instrument either, the entry is taken back]",
)
@click.option("--instrument", metavar="I", help="What it was read with, where that was entered wrong.")
@because_option("What was wrong with the entry.")
@content_option
@by_option()
@secret_option
@shop_option
def supersede(
    job: str,
    reading: int,
    value: str | None,
    instrument: str | None,
    because: str,
    content: str | None,
    by: str | None,
    secret_fd: int | None,
) -> int:
    """Correct a wrong entry, or take it back.

    READING is the number that show prints. The entry stays and prints struck through, with the reason. Once the step is
    signed as performed, it takes another person than who made the entry or signed; where people have secrets, theirs.
    Status 1: the corrected value is outside its limit; or refused.
    """
    from traveler.acts.change import load_job
    from traveler.acts.clock import SystemClock
    from traveler.acts.readings import correction_signed
    from traveler.acts.readings import supersede as supersede_reading
    from traveler.report.words import visible

    person = stated_person(by)
    with open_shop() as shop:
        step, secret = correction_signed(shop, load_job(shop, job), reading), None
        if step is not None:
            what = f"has reading {reading} put right{f' to {visible(value)}' if value else ''}"
            content, secret = asked_for_step(shop, person, job, step, what, content, Asking(secret_fd))
        outcome = supersede_reading(
            shop,
            SystemClock(),
            person,
            job,
            reading,
            value,
            because,
            instrument,
            content=content,
            secret=secret,
        )
    step = next((entry.key[0] for entry in outcome.state.readings if entry.number == reading), None)
    return tell_entry(outcome, step)


@click.command()
@job_argument
@click.argument("step", type=int)
@click.argument("quantity")
@joint_option
@because_option("Why the earlier attempt was too cold.")
@by_option()
@shop_option
def retry(job: str, step: int, quantity: str, joint: str | None, because: str, by: str | None) -> int:
    """Open another attempt of a preheat that was too cold.

    Only before a run of weld is recorded on the joint; the earlier attempt stays and prints. Status 1: refused.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.readings import retry as try_again

    person = stated_person(by)
    with open_shop() as shop:
        return tell(try_again(shop, SystemClock(), person, job, step, quantity, joint, because))


def tell_entry(outcome: "Outcome", number: int | None) -> int:
    """The outcome of an entry, and what then still stands between its step and acceptance."""
    from traveler.acts.clock import SystemClock
    from traveler.job.gate import blockers

    step = outcome.state.step(number) if number is not None else None
    if not outcome.recorded or step is None:
        return tell(outcome)
    waiting = blockers(outcome.state, step, SystemClock().now())
    said = [reason for reason in outcome.reasons if not any(reason in other for other in waiting)]
    lines = [f"  {reason}" for reason in said]
    if waiting:
        lines += [f"step {number} waits for:", *(f"  {reason}" for reason in waiting)]
    return tell_lines(outcome, lines)
