"""``revise``, ``close``, ``cancel``: the job as a whole."""

from collections.abc import Callable
from typing import TypeVar

import click

from traveler.cli.common import (
    because_option,
    by_option,
    job_argument,
    open_shop,
    read_sheet_file,
    shop_option,
    stated_person,
    tell,
)
from traveler.cli.secret import Asking, secret_option
from traveler.cli.signing import asked_for_job

Decorated = TypeVar("Decorated", bound=Callable[..., object])


def head_option(command: Decorated) -> Decorated:
    """``--head CODE``."""
    return click.option(
        "--head",
        metavar="CODE",
        help="The job's head as show --json printed it; stale if something was added since.",
    )(command)


@click.command()
@job_argument
@click.argument("sheet")
@because_option("Why the traveler changes.")
@head_option
@by_option()
@secret_option
@shop_option
def revise(
    job: str, sheet: str, because: str, head: str | None, by: str | None, secret_fd: int | None
) -> int:
    """Issue the next revision of a job from a changed sheet.

    SHEET is a TOML file, or - for standard input. Signatures stand where the revision leaves the step alone.
    Status 1: refused, or issued with conflicts.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.issue import revise as issue_revision

    raw, person = read_sheet_file(sheet), stated_person(by)

    def planned() -> str:
        from traveler.acts.planning import plan_sheet
        from traveler.job.view import plan_object
        from traveler.report.signing_text import plan_shown

        return plan_shown(plan_object(plan_sheet(raw)))

    with open_shop() as shop:
        head, secret = asked_for_job(shop, person, job, "revised", head, Asking(secret_fd), planned)
        return tell(issue_revision(shop, SystemClock(), person, job, raw, because, head=head, secret=secret))


@click.command()
@job_argument
@click.option(
    "--pieces",
    metavar="N",
    type=int,
    help="How many pieces are accepted, as counted; needed where more than one came into the job.",
)
@head_option
@by_option(required=True)
@secret_option
@shop_option
def close(job: str, pieces: int | None, head: str | None, by: str, secret_fd: int | None) -> int:
    """Close a job whose every step is accepted.

    Its pieces have to add up: in = accepted + rejected + lost + split off.
    Status 1: refused, with what is missing.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.issue import close as close_job

    person = stated_person(by)
    with open_shop() as shop:
        head, secret = asked_for_job(shop, person, job, "closed", head, Asking(secret_fd))
        return tell(close_job(shop, SystemClock(), person, job, head=head, secret=secret, pieces=pieces))


@click.command()
@job_argument
@because_option("Why the job ends here.")
@head_option
@by_option()
@secret_option
@shop_option
def cancel(job: str, because: str, head: str | None, by: str | None, secret_fd: int | None) -> int:
    """End a job without completing it.

    Nothing can be recorded on it afterwards. Status 1: refused.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.issue import cancel as cancel_job

    person = stated_person(by)
    with open_shop() as shop:
        head, secret = asked_for_job(shop, person, job, "cancelled", head, Asking(secret_fd))
        return tell(cancel_job(shop, SystemClock(), person, job, because, head=head, secret=secret))
