"""``sign``: put one's name to a step."""

import click

from traveler.cli.common import by_option, job_argument, open_shop, shop_option, stated_person, tell
from traveler.cli.secret import Asking, secret_option
from traveler.cli.signing import asked_for_step
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
    "--with",
    "others",
    metavar="NAME",
    multiple=True,
    help="Somebody who did it together with the signer; may be given again.",
)
@click.option(
    "--content",
    metavar="DIGEST",
    help="The step's content as show --json printed it; stale if it has changed.",
)
@by_option(required=True)
@secret_option
@shop_option
def sign(
    job: str,
    step: int,
    role: str,
    runs: int | None,
    others: tuple[str, ...],
    content: str | None,
    by: str,
    secret_fd: int | None,
) -> int:
    """Sign a step as performed or as accepted.

    Acceptance is refused, with every reason, until the readings comply and the earlier steps are accepted. Where people
    of the shop have secrets, the step is shown and the signer's secret is asked on the terminal.
    Status 1: refused; or signed as performed out of order, or by somebody who was not qualified.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.sign import accept, perform

    person, clock = stated_person(by), SystemClock()
    for option, given in (("--runs", runs is not None), ("--with", others)):
        if given and role == "accepted":
            raise BadInput(f"{option} belongs to the signature as performed; leave it out")
    with open_shop() as shop:
        content, secret = asked_for_step(shop, person, job, step, role, content, Asking(secret_fd))
        if role == "performed":
            outcome = perform(shop, clock, person, job, step, runs, content, others=others, secret=secret)
        else:
            outcome = accept(shop, clock, person, job, step, content, secret=secret)
    return tell(outcome, *(["names as stated"] if outcome.recorded and secret is None else []))
