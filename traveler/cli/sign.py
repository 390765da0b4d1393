"""``sign``: put one's name to a step."""

import click

from traveler.cli.common import by_option, job_argument, open_shop, shop_option, stated_person, tell
from traveler.errors import BadInput


@click.command()
@job_argument
@click.argument("step", type=int)
@click.option(
    "--as",
    "role",
    type=click.Choice(["performed", "accepted"]),
    required=True,
    help="By whoever did the step, or by somebody else who looked at its readings.",
)
@click.option("--runs", metavar="N", type=int, help="Runs of weld laid.  [default: those that are recorded]")
@click.option(
    "--content",
    metavar="DIGEST",
    help="The step's content as show --json printed it; stale if it has changed.",
)
@by_option(required=True)
@shop_option
def sign(job: str, step: int, role: str, runs: int | None, content: str | None, by: str) -> int:
    """Sign a step as performed or as accepted.

    Acceptance is refused, with every reason, until the readings comply and the earlier steps are accepted.
    Status 1: refused; or signed as performed out of order.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.sign import accept, perform

    person, clock = stated_person(by), SystemClock()
    if runs is not None and role == "accepted":
        raise BadInput("--runs belongs to the signature as performed; leave it out")
    with open_shop() as shop:
        if role == "performed":
            outcome = perform(shop, clock, person, job, step, runs, content)
        else:
            outcome = accept(shop, clock, person, job, step, content)
    return tell(outcome, *(["names as stated"] if outcome.recorded else []))
