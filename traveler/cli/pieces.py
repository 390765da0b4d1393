"""``split``, ``pieces``, ``join``: what becomes of the pieces of a job."""

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

import click

from traveler.cli.change import head_option
from traveler.cli.common import (
    because_option,
    by_option,
    job_argument,
    open_shop,
    shop_option,
    stated_person,
    tell,
)
from traveler.cli.secret import Asking, secret_option
from traveler.cli.signing import asked_for_job
from traveler.errors import BadInput

if TYPE_CHECKING:
    from traveler.acts.signed_change import Signing
    from traveler.record.shop import Shop

Decorated = TypeVar("Decorated", bound=Callable[..., object])

serial_option = click.option(
    "--serial",
    "serials",
    metavar="S",
    multiple=True,
    help="The serial of one of the pieces, where they have serials; repeat it for each.",
)


def signed(command: Decorated) -> Decorated:
    """The options of every act that somebody answers for on a job as a whole."""
    for option in (shop_option, secret_option, by_option(), head_option):
        command = option(command)
    return command


@click.command()
@job_argument
@click.option("--pieces", metavar="N", type=int, required=True, help="How many pieces go on by themselves.")
@serial_option
@click.option(
    "--as", "new_number", metavar="NEWJOB", required=True, help="The number of their job, not used yet."
)
@because_option("Why they go on by themselves.")
@signed
def split(
    job: str,
    pieces: int,
    serials: tuple[str, ...],
    new_number: str,
    because: str,
    head: str | None,
    by: str | None,
    secret_fd: int | None,
) -> int:
    """Let some pieces of a job go on as a job of their own.

    The new job has the same traveler and everything that was done up to now: steps that were accepted stay accepted,
    readings good and bad go along. What is open there, a nonconformance or a reading in question, holds both and is
    settled in JOB. Status 1: refused.
    """
    from traveler.acts.pieces import split as split_job

    with open_shop() as shop:
        what = f"has {pieces} split off as {new_number}"
        return tell(
            split_job(_signing(shop, job, what, head, by, secret_fd), new_number, pieces, serials, because)
        )


@click.command()
@job_argument
@click.option("--scrap", metavar="N", type=int, help="How many pieces were scrapped.")
@click.option("--lost", metavar="N", type=int, help="How many pieces were lost.")
@serial_option
@because_option("What happened to them.")
@signed
def pieces(
    job: str,
    scrap: int | None,
    lost: int | None,
    serials: tuple[str, ...],
    because: str,
    head: str | None,
    by: str | None,
    secret_fd: int | None,
) -> int:
    """Say that pieces of a job were scrapped or lost; the others go on.

    It settles no reading: a reading outside its limit that only these pieces had takes a nonconformance whose
    disposition scraps them (traveler ncr propose JOB N scrap --pieces). Status 1: refused.
    """
    if (scrap is None) == (lost is None):
        raise BadInput("say how many pieces were scrapped (--scrap N), or how many were lost (--lost N)")
    from traveler.acts.pieces import take_out_pieces

    count = lost if scrap is None else scrap
    assert count is not None
    with open_shop() as shop:
        way = "lost" if scrap is None else "scrapped"
        signing = _signing(shop, job, f"has {count} pieces {way}", head, by, secret_fd)
        return tell(
            take_out_pieces(signing, "lost" if scrap is None else "scrapped", count, serials, because)
        )


@click.command()
@click.argument("assembly")
@click.argument("components", metavar="JOB...", nargs=-1, required=True)
@click.option("--pieces", metavar="N", type=int, help="How many pieces of each.  [default: 1]")
@serial_option
@click.option(
    "--step",
    metavar="N",
    type=int,
    help="At which step.  [default: the step of kind assemble, where there is one]",
)
@click.option(
    "--take-out", is_flag=True, help="Take the pieces of JOB out of the assembly again; needs --because."
)
@click.option("--because", metavar="TEXT", help="Of taking out: why.")
@signed
def join(
    assembly: str,
    components: tuple[str, ...],
    pieces: int | None,
    serials: tuple[str, ...],
    step: int | None,
    take_out: bool,
    because: str | None,
    head: str | None,
    by: str | None,
    secret_fd: int | None,
) -> int:
    """Join pieces of other jobs in an assembly, which is a job of its own.

    The step is not accepted while one of them is not closed, is held, or has fewer good pieces than are used. Pieces of
    one job may go into several assemblies, never more than it has. Status 1: refused, or joined and not ready.
    """
    import unicodedata

    names = [unicodedata.normalize("NFC", name) for name in components]
    _check_options(names, pieces, serials, step, take_out, because)
    from traveler.acts.pieces import join as join_component
    from traveler.acts.pieces import take_out_component

    status = 0
    with open_shop() as shop:
        for name in names:
            what = f"has {name} {'taken out' if take_out else 'joined'}"
            signing = _signing(shop, unicodedata.normalize("NFC", assembly), what, head, by, secret_fd)
            outcome = (
                take_out_component(signing, name, because or "")
                if take_out
                else join_component(signing, name, 1 if pieces is None else pieces, serials, step)
            )
            status = max(status, tell(outcome))
            head = None
    return status


def _check_options(
    names: list[str],
    pieces: int | None,
    serials: tuple[str, ...],
    step: int | None,
    take_out: bool,
    because: str | None,
) -> None:
    if serials and len(names) > 1:
        raise BadInput("--serial belongs to the pieces of one job; join them one job after the other")
    if take_out and not because:
        raise BadInput("--take-out needs the reason: --because TEXT")
    if take_out and (pieces is not None or serials or step is not None):
        raise BadInput("--take-out takes all pieces of the job; leave --pieces, --serial and --step out")
    if because and not take_out:
        raise BadInput("--because belongs to --take-out; leave it out")
    if len(set(names)) != len(names):
        raise BadInput("a job is named twice; name each once, with how many pieces")


def _signing(
    shop: "Shop", job: str, what: str, head: str | None, by: str | None, secret_fd: int | None
) -> "Signing":
    from traveler.acts.clock import SystemClock
    from traveler.acts.signed_change import Signing

    person = stated_person(by)
    head, secret = asked_for_job(shop, person, job, what, head, Asking(secret_fd))
    return Signing(shop, SystemClock(), person, job, head, secret)
