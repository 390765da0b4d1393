"""``revise``, ``close``, ``cancel``: the job as a whole."""

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


@click.command()
@job_argument
@click.argument("sheet")
@because_option("Why the traveler changes.")
@by_option()
@shop_option
def revise(job: str, sheet: str, because: str, by: str | None) -> int:
    """Issue the next revision of a job from a changed sheet.

    SHEET is a TOML file, or - for standard input. Signatures stand where the revision leaves the step alone.
    Status 1: refused, or issued with conflicts.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.issue import revise as issue_revision

    raw, person = read_sheet_file(sheet), stated_person(by)
    with open_shop() as shop:
        return tell(issue_revision(shop, SystemClock(), person, job, raw, because))


@click.command()
@job_argument
@by_option(required=True)
@shop_option
def close(job: str, by: str) -> int:
    """Close a job whose every step is accepted.

    Status 1: refused, with what is missing.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.issue import close as close_job

    person = stated_person(by)
    with open_shop() as shop:
        return tell(close_job(shop, SystemClock(), person, job))


@click.command()
@job_argument
@because_option("Why the job ends here.")
@by_option()
@shop_option
def cancel(job: str, because: str, by: str | None) -> int:
    """End a job without completing it.

    Nothing can be recorded on it afterwards. Status 1: refused.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.issue import cancel as cancel_job

    person = stated_person(by)
    with open_shop() as shop:
        return tell(cancel_job(shop, SystemClock(), person, job, because))
