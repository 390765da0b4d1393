"""``outside``: the work of a step that a vendor does."""

import click

from traveler.cli.common import because_option, by_option, job_argument, open_shop, shop_option, tell
from traveler.cli.ending import DONE
from traveler.cli.group import Group
from traveler.cli.output import say, say_json
from traveler.cli.secret import secret_option
from traveler.cli.signed import content_option, signing_of_step, step_argument
from traveler.errors import BadInput


@click.group(cls=Group)
def outside() -> None:
    """Send work to a vendor, receive it, and review the certificate that came with it.

    Until it is back and another person has accepted the certificate, the step is not accepted. Work can be recorded
    meanwhile.
    """


@outside.command(name="list")
@job_argument
@click.option("--json", "as_json", is_flag=True, help="Print a JSON list instead of text.")
@shop_option
def list_sendings(job: str, as_json: bool) -> int:
    """List what of a job is given to vendors, and where each sending stands."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.look import look

    with open_shop(read_only=True) as shop:
        traveler = look(shop, SystemClock(), job)
    if as_json:
        say_json(
            [
                {"step": step["number"], **sending}
                for step in traveler["steps"]
                for sending in step.get("sendings", ())
            ]
        )
    else:
        from traveler.report.outside_words import outside_text

        say(outside_text(traveler))
    return DONE


@outside.command()
@job_argument
@step_argument
@click.option("--vendor", metavar="NAME", help="Who does the work.  [default: as the sheet says]")
@click.option("--order", metavar="NUMBER", help="The number of the order.  [default: as the sheet says]")
@click.option("--what", metavar="TEXT", help="What is sent.  [default: the part]")
@click.option("--pieces", metavar="N", type=int, help="How many.  [default: all of the job]")
@click.option(
    "--requirement",
    metavar="TEXT",
    help="The document that goes along, with its revision.  [default: the traveler alone]",
)
@click.option(
    "--paper",
    "papers",
    metavar="TEXT",
    multiple=True,
    help="A paper that is to come back, beside those of the sheet; repeatable.  [default: the usual ones]",
)
@click.option("--expected", metavar="DAY", help="The day on which it is to be back, such as 2026-03-05.")
@click.option("--at", metavar="TIME", help="When it was sent, in ISO 8601.  [default: now]")
@content_option
@by_option(required=True)
@secret_option
@shop_option
def send(
    job: str,
    step: int,
    vendor: str | None,
    order: str | None,
    what: str | None,
    pieces: int | None,
    requirement: str | None,
    papers: tuple[str, ...],
    expected: str | None,
    at: str | None,
    content: str | None,
    by: str,
    secret_fd: int | None,
) -> int:
    """Note that the work of a step went to a vendor, planned or not. Status 1: refused."""
    from traveler.acts.outside import NewSending
    from traveler.acts.outside import send as send_out

    new = NewSending(vendor, order, what, pieces, requirement, papers or None, expected, at)
    with open_shop() as shop:
        signing = signing_of_step(shop, job, step, "goes to a vendor", content, by, secret_fd)
        return tell(send_out(signing, step, new))


@outside.command()
@job_argument
@step_argument
@click.option("--pieces", metavar="N", type=int, help="How many are back.  [default: all that are out]")
@click.option("--condition", metavar="TEXT", required=True, help="How it was found.")
@click.option("--damage", metavar="TEXT", help="What is damaged, if anything.")
@click.option(
    "--heat-number",
    type=click.Choice(["legible", "not legible", "none on the part"]),
    required=True,
    help="Whether the heat number on the part can still be read.",
)
@click.option("--at", metavar="TIME", help="When it came back, in ISO 8601.  [default: now]")
@content_option
@by_option(required=True)
@secret_option
@shop_option
def receive(
    job: str,
    step: int,
    pieces: int | None,
    condition: str,
    damage: str | None,
    heat_number: str,
    at: str | None,
    content: str | None,
    by: str,
    secret_fd: int | None,
) -> int:
    """Note that it is back, as it was found. Status 1: short, damaged, or without its heat number; or refused."""
    from traveler.acts.outside import NewReceipt
    from traveler.acts.outside import receive as receive_back

    new = NewReceipt(condition, heat_number, pieces, damage, at)
    with open_shop() as shop:
        signing = signing_of_step(shop, job, step, "is back from its vendor", content, by, secret_fd)
        return tell(receive_back(signing, step, new))


@outside.command()
@job_argument
@step_argument
@click.option(
    "--result", type=click.Choice(["accepted", "not accepted"]), required=True, help="What came of it."
)
@click.option("--held", metavar="TEXT", required=True, help="What was held against what.")
@click.option(
    "--file",
    "files",
    metavar="FILE",
    multiple=True,
    help="An attached file that was looked at, by name or SHA-256; repeatable.  [default: all since it was sent]",
)
@click.option(
    "--missing",
    metavar="TEXT",
    multiple=True,
    help="A paper that was asked for and did not come; repeatable.",
)
@click.option("--because", metavar="TEXT", help="Why it is not accepted, or a remark.")
@content_option
@by_option(required=True)
@secret_option
@shop_option
def review(
    job: str,
    step: int,
    result: str,
    held: str,
    files: tuple[str, ...],
    missing: tuple[str, ...],
    because: str | None,
    content: str | None,
    by: str,
    secret_fd: int | None,
) -> int:
    """Say what was found of the papers, by another person than who received it. Status 1: not accepted, or refused.

    Accepted are only files that are attached to the step, and none of the papers that were asked for may be missing.
    """
    from traveler.acts.outside import NewReview
    from traveler.acts.outside import review as review_papers

    accepts = result == "accepted"
    if not accepts and not (because or "").strip():
        raise BadInput("--because is missing: say why the certificate is not accepted")
    new = NewReview(accepts, held, files, missing, because)
    with open_shop() as shop:
        signing = signing_of_step(
            shop, job, step, f"has the certificate of its vendor {result}", content, by, secret_fd
        )
        return tell(review_papers(signing, step, new))


@outside.command(name="call-off")
@job_argument
@step_argument
@because_option("Why: it came back undone, or was entered in error.")
@content_option
@by_option(required=True)
@secret_option
@shop_option
def call_off(job: str, step: int, because: str, content: str | None, by: str, secret_fd: int | None) -> int:
    """Say that the last sending did not happen, or came back undone, before a review. Status 1: refused."""
    from traveler.acts.outside import call_off as call_it_off

    with open_shop() as shop:
        signing = signing_of_step(shop, job, step, "was not done by its vendor", content, by, secret_fd)
        return tell(call_it_off(signing, step, because))
