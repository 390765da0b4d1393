"""``ncr`` and ``na``: nonconformances from opening to closing, and what is said not to apply."""

from collections.abc import Callable
from typing import TypeVar

import click

from traveler.cli.common import (
    because_option,
    by_option,
    job_argument,
    joint_option,
    open_shop,
    shop_option,
    tell,
)
from traveler.cli.ending import DONE
from traveler.cli.group import Group
from traveler.cli.output import say, say_json
from traveler.cli.secret import secret_option
from traveler.cli.signed import content_option, signing_of_nonconformance, signing_of_step, step_argument

Decorated = TypeVar("Decorated", bound=Callable[..., object])

DISPOSITIONS = ("rework", "repair", "use as is", "scrap", "return", "regrade")

number_argument = click.argument("number", type=int)
because_if_any = click.option("--because", metavar="TEXT", help="What is to be said of it, if anything.")


def signed(command: Decorated) -> Decorated:
    """The options of every act that somebody answers for."""
    for option in (shop_option, secret_option, by_option(required=True), content_option):
        command = option(command)
    return command


@click.group(cls=Group)
def ncr() -> None:
    """Open nonconformances of a job, and take each to its disposition and its closing.

    What does not comply stays and prints. Rework brings it to what was asked for, in a new attempt; repair, use as is
    and regrade let it stand other than that, and are approved by another person than who proposed it.
    """


@ncr.command(name="open")
@job_argument
@step_argument
@click.option("--what", metavar="TEXT", required=True, help="What does not comply.")
@click.option(
    "--quantity", metavar="Q", help="The requirement that it is about.  [default: the step as a whole]"
)
@joint_option
@click.option(
    "--reading",
    "readings",
    metavar="N",
    type=int,
    multiple=True,
    help="A reading by its number; may be given again.  [default: those of --quantity outside its limit]",
)
@signed
def open_one(
    job: str,
    step: int,
    what: str,
    quantity: str | None,
    joint: str | None,
    readings: tuple[int, ...],
    content: str | None,
    by: str,
    secret_fd: int | None,
) -> int:
    """Say that something about a step does not comply.

    The step is not accepted until it is closed. About a requirement of which no reading is outside its limit, it is
    about what is missing. Status 1: refused.
    """
    from traveler.acts.nonconformance import open_nonconformance

    with open_shop() as shop:
        signing = signing_of_step(shop, job, step, f"does not comply: {what}", content, by, secret_fd)
        return tell(open_nonconformance(signing, step, what, quantity, joint, readings))


@ncr.command(name="list")
@click.argument("job", required=False)
@click.option("--json", "as_json", is_flag=True, help="Print a JSON list instead of text.")
@shop_option
def list_all(job: str | None, as_json: bool) -> int:
    """List the nonconformances of a job, each with everything that was done about it.

    Without JOB those of all jobs, the ones first that are not closed yet.
    """
    if job is None:
        return _list_of_shop(as_json)
    from traveler.acts.clock import SystemClock
    from traveler.acts.look import look

    with open_shop(read_only=True) as shop:
        traveler = look(shop, SystemClock(), job)
    if as_json:
        say_json(traveler["nonconformances"])
    else:
        from traveler.report.decided_text import nonconformances_text

        say(nonconformances_text(traveler))
    return DONE


def _list_of_shop(as_json: bool) -> int:
    from traveler.acts.nonconformance_look import look_at_nonconformances

    with open_shop(read_only=True) as shop:
        found = look_at_nonconformances(shop)
    if as_json:
        say_json(found)
    else:
        from traveler.report.decided_text import shop_nonconformances_text

        say(shop_nonconformances_text(found))
    return DONE


@ncr.command()
@job_argument
@number_argument
@click.argument("disposition", type=click.Choice(DISPOSITIONS))
@click.option("--instruction", metavar="TEXT", required=True, help="What is to be done, or why it may stay.")
@click.option(
    "--pieces",
    metavar="N",
    type=int,
    help="Of scrap and return: how many pieces; the others go on.  [default: the whole job]",
)
@click.option("--serial", "serials", metavar="S", multiple=True, help="The serial of one of them; repeat it.")
@signed
def propose(
    job: str,
    number: int,
    disposition: str,
    instruction: str,
    pieces: int | None,
    serials: tuple[str, ...],
    content: str | None,
    by: str,
    secret_fd: int | None,
) -> int:
    """Propose what is done about it. An earlier proposal is replaced. Status 1: refused."""
    from traveler.acts.nonconformance import propose as propose_disposition

    with open_shop() as shop:
        of = "" if pieces is None else f" of {pieces} pieces"
        what = f"should be disposed of by: {disposition}{of}, {instruction}"
        signing = signing_of_nonconformance(shop, job, number, what, content, by, secret_fd)
        return tell(propose_disposition(signing, number, disposition, instruction, pieces, serials))


@ncr.command()
@job_argument
@number_argument
@because_if_any
@signed
def approve(
    job: str, number: int, because: str | None, content: str | None, by: str, secret_fd: int | None
) -> int:
    """Approve the disposition that was proposed last.

    Rework opens the next attempt of what it does anew, and accepted steps behind it are to be accepted again.
    Status 1: refused.
    """
    from traveler.acts.nonconformance import decide_disposition

    with open_shop() as shop:
        what = "is disposed of as proposed"
        signing = signing_of_nonconformance(shop, job, number, what, content, by, secret_fd)
        return tell(decide_disposition(signing, number, True, because))


@ncr.command()
@job_argument
@number_argument
@because_option("Why it is not approved.")
@signed
def refuse(job: str, number: int, because: str, content: str | None, by: str, secret_fd: int | None) -> int:
    """Refuse the disposition that was proposed last. Another one may be proposed. Status 1: not to be refused."""
    from traveler.acts.nonconformance import decide_disposition

    with open_shop() as shop:
        what = "is not disposed of as proposed"
        signing = signing_of_nonconformance(shop, job, number, what, content, by, secret_fd)
        return tell(decide_disposition(signing, number, False, because))


@ncr.command()
@job_argument
@number_argument
@click.option("--what", metavar="TEXT", required=True, help="What was looked at, and what it showed.")
@click.option(
    "--result",
    type=click.Choice(["complies", "does not comply"]),
    required=True,
    help="Whether the part complies now.",
)
@signed
def reverify(
    job: str, number: int, what: str, result: str, content: str | None, by: str, secret_fd: int | None
) -> int:
    """Look at the part again after rework or repair. Status 1: it does not comply; or refused."""
    from traveler.acts.nonconformance import reverify as look_again

    with open_shop() as shop:
        said = f"was looked at again and {result}"
        signing = signing_of_nonconformance(shop, job, number, said, content, by, secret_fd)
        return tell(look_again(signing, number, what, result == "complies"))


@ncr.command()
@job_argument
@number_argument
@because_if_any
@signed
def close(
    job: str, number: int, because: str | None, content: str | None, by: str, secret_fd: int | None
) -> int:
    """Close a nonconformance. It takes that what was approved is done, and after rework or repair looked at again.

    Status 1: refused.
    """
    from traveler.acts.nonconformance import close_nonconformance

    with open_shop() as shop:
        what = "has this nonconformance closed"
        signing = signing_of_nonconformance(shop, job, number, what, content, by, secret_fd)
        return tell(close_nonconformance(signing, number, because))


@ncr.command()
@job_argument
@number_argument
@because_option("Why it was opened in error.")
@signed
def void(job: str, number: int, because: str, content: str | None, by: str, secret_fd: int | None) -> int:
    """Void a nonconformance opened in error. Only before anything was approved. Status 1: refused."""
    from traveler.acts.nonconformance import void_nonconformance

    with open_shop() as shop:
        what = "had this nonconformance opened in error"
        signing = signing_of_nonconformance(shop, job, number, what, content, by, secret_fd)
        return tell(void_nonconformance(signing, number, because))


@click.command()
@job_argument
@step_argument
@click.argument("quantity")
@joint_option
@because_option("Why it does not apply.")
@signed
def na(
    job: str,
    step: int,
    quantity: str,
    joint: str | None,
    because: str,
    content: str | None,
    by: str,
    secret_fd: int | None,
) -> int:
    """Say that a requirement does not apply, with the reason.

    It excuses what nothing shows, never a reading outside a limit, and holds for the limits of this revision.
    Status 1: refused.
    """
    from traveler.acts.settling import set_not_applicable

    with open_shop() as shop:
        what = f"does not need its {quantity}: {because}"
        signing = signing_of_step(shop, job, step, what, content, by, secret_fd)
        return tell(set_not_applicable(signing, step, quantity, joint, because))
