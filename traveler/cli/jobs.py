"""``new``, ``list``, ``show``: put a job into the shop's file, and look."""

import os
from typing import TYPE_CHECKING

import click

from traveler.cli.common import (
    by_option,
    job_argument,
    open_shop,
    read_sheet_file,
    shop_option,
    shop_path,
    stated_person,
    tell_lines,
)
from traveler.cli.ending import DONE, tell_sentences
from traveler.cli.output import say, say_json
from traveler.cli.secret import Asking, secret_option
from traveler.cli.signing import asked_for

if TYPE_CHECKING:
    from traveler.record.shop import Shop


@click.command()
@click.argument("sheet")
@by_option()
@secret_option
@shop_option
def new(sheet: str, by: str | None, secret_fd: int | None) -> int:
    """Put a job into the shop's file and issue revision 1 of its traveler.

    SHEET is a TOML file, or - for standard input. The shop's file is made where there is none yet.
    Status 1: issued with conflicts, which block until the sheet is revised.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.issue import issue

    raw, person = read_sheet_file(sheet), stated_person(by)

    def shown(who: str) -> str:
        from traveler.acts.planning import plan_sheet
        from traveler.job.view import plan_object
        from traveler.report.signing_text import plan_shown
        from traveler.report.words import visible

        return f"\n{visible(who)} releases for work:\n{plan_shown(plan_object(plan_sheet(raw)))}"

    with _shop_for(raw) as shop:
        secret = asked_for(shop, person, Asking(secret_fd), shown)
        outcome = issue(shop, SystemClock(), person, raw, secret=secret)
        lines = [f"shop file: {shop.path}"]
    if outcome.reasons:
        lines += ["conflicts, to be settled before the work:", *(f"  {reason}" for reason in outcome.reasons)]
    return tell_lines(outcome, lines)


def _shop_for(raw: bytes) -> "Shop":
    """The shop's file, made where there is none once the sheet is known to be good."""
    from traveler.acts.planning import plan_sheet
    from traveler.record.shop import Shop

    if os.path.lexists(shop_path()):
        return open_shop()
    plan_sheet(raw)
    return Shop.create(shop_path())


@click.command(name="list")
@click.option("--json", "as_json", is_flag=True, help="Print a JSON list instead of text.")
@click.option(
    "--view",
    type=click.Choice(["open", "blocked", "sign", "due", "ended"]),
    help="Only these jobs, in the order of the board: those that need somebody first.",
)
@click.option(
    "--find", metavar="TEXT", default="", help="Only jobs with this in number, title, part, people or heat."
)
@shop_option
def list_jobs(as_json: bool, view: str | None, find: str) -> int:
    """List the jobs, what they wait for, and what is due.

    A paragraph a job, the one written to last first: number, state, the step it stands at, title; below it what blocks
    that step first, what it takes next, what is due, and who did something last. Then how many jobs take what, and
    the calibrations and the inspections of parts that are over or due. An old backup is remarked on standard error,
    not with --json.
    """
    from traveler.acts.board import board_object, listed, part_dues, shop_dues, totals_of
    from traveler.acts.clock import SystemClock
    from traveler.acts.register import shop_now
    from traveler.acts.reminder import backup_reminder

    with open_shop(read_only=True) as shop:
        now = shop_now(shop, SystemClock())
        rows = (board_object(row, now) for row in listed(shop, now, view, find))
        if as_json:
            say_json(list(rows))
            return DONE
        from traveler.report.text import list_text

        say(list_text(rows, totals_of(shop, now), shop_dues(shop, now), now, part_dues(shop, now)))
        reminder = backup_reminder(shop, SystemClock())
    if reminder:
        tell_sentences(reminder)
    return DONE


@click.command()
@job_argument
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
@shop_option
def show(job: str, as_json: bool) -> int:
    """Show a job's steps, requirements, readings and verdicts.

    The status is 0 whatever the verdicts are.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.look import look

    with open_shop(read_only=True) as shop:
        traveler = look(shop, SystemClock(), job)
    if as_json:
        say_json(traveler)
    else:
        from traveler.report.text import show_text

        say(show_text(traveler))
    return DONE
