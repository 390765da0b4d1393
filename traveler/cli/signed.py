"""What the commands share by which somebody answers for a step: release, disposition, that a limit does not apply."""

from typing import TYPE_CHECKING

import click

from traveler.cli.common import stated_person
from traveler.cli.secret import Asking
from traveler.cli.signing import asked_for_step

if TYPE_CHECKING:
    from traveler.acts.signed_change import Signing
    from traveler.record.shop import Shop

step_argument = click.argument("step", type=int)
content_option = click.option(
    "--content",
    metavar="DIGEST",
    help="The step's content as show --json printed it; stale if it has changed.",
)


def signing_of_step(
    shop: "Shop", job: str, step: int, what: str, content: str | None, by: str | None, secret_fd: int | None
) -> "Signing":
    """Who signs; where people have secrets the step is shown with ``what`` is said of it, and the secret asked."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.signed_change import Signing
    from traveler.report.words import visible

    person = stated_person(by)
    content, secret = asked_for_step(shop, person, job, step, visible(what), content, Asking(secret_fd))
    return Signing(shop, SystemClock(), person, job, content, secret)


def signing_of_nonconformance(
    shop: "Shop", job: str, number: int, what: str, content: str | None, by: str | None, secret_fd: int | None
) -> "Signing":
    """The same about the step of a nonconformance, with what was found and what was proposed last.

    Whether there is such a nonconformance is for the act to say.
    """
    from traveler.acts.change import load_job

    entry = load_job(shop, job).nonconformance(number)
    if entry is None:
        return signing_of_step(shop, job, 0, what, content, by, secret_fd)
    said = f"{what} (nonconformance {number}: {entry.what}"
    if entry.proposals:
        proposal = entry.proposals[-1]
        said += f"; proposed by {proposal.by.name}: {proposal.disposition}, {proposal.instruction}"
    return signing_of_step(shop, job, entry.step, f"{said})", content, by, secret_fd)
