"""What several commands share: their options, the shop they open, who acts, how an outcome is told."""

import os
import sys
import unicodedata
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click

from traveler.cli.ending import ANSWER_IS_NO, DONE, tell_sentences
from traveler.cli.output import say
from traveler.errors import BadInput

if TYPE_CHECKING:
    from traveler.acts.change import Outcome
    from traveler.acts.register import Entered
    from traveler.job.person import Person
    from traveler.record.shop import Shop

Decorated = TypeVar("Decorated", bound=Callable[..., object])

LARGEST_READ_BYTES = 1024 * 1024 + 1
"""One byte more than a job sheet may have: enough to see that it is too long."""

_SHOP = "traveler.shop"


def _remember_shop(context: click.Context, parameter: click.Parameter, value: Path | None) -> None:
    if value is not None:
        context.meta[_SHOP] = value


def _composed(context: click.Context, parameter: click.Parameter, value: str | None) -> str | None:
    """Text in NFC, as the record holds it: some systems hand over accents as separate characters."""
    return None if value is None else unicodedata.normalize("NFC", value)


def shop_option(command: Decorated) -> Decorated:
    """``--shop FILE``, before the command or after it."""
    return click.option(
        "--shop",
        metavar="FILE",
        type=click.Path(path_type=Path),
        expose_value=False,
        callback=_remember_shop,
        help="The shop's file.  [default: $TRAVELER_SHOP, else in the platform's data folder]",
    )(command)


def by_option(*, required: bool = False) -> Callable[[Decorated], Decorated]:
    """``--by PERSON``; TRAVELER_BY stands for it."""
    login = "" if required else ", else the login name"
    return click.option(
        "--by",
        metavar="PERSON",
        envvar="TRAVELER_BY",
        required=required,
        help=f"Who does it, by name or by id.  [default: $TRAVELER_BY{login}]",
    )


def because_option(what: str) -> Callable[[Decorated], Decorated]:
    """``--because TEXT``, the reason that the record keeps."""
    return click.option("--because", metavar="TEXT", required=True, help=what)


def job_argument(command: Decorated) -> Decorated:
    """The job's number."""
    return click.argument("job", callback=_composed)(command)


def joint_option(command: Decorated) -> Decorated:
    """``--joint J``."""
    return click.option(
        "--joint",
        metavar="J",
        callback=_composed,
        help="The joint, where a step covers several and several have this quantity.",
    )(command)


def shop_path() -> Path:
    """The shop's file that this command line means."""
    from traveler.record.place import default_shop_path

    named: Path | None = click.get_current_context().meta.get(_SHOP)
    return default_shop_path(os.environ) if named is None else named


def is_shop(output: str) -> bool:
    """Whether a file to be written is the shop's own."""
    return os.path.exists(output) and os.path.exists(shop_path()) and os.path.samefile(output, shop_path())


def open_shop(*, read_only: bool = False) -> "Shop":
    """The shop's file, opened; TravelerError where it does not exist or is no shop file.

    Where it is not the file that this account saw last, a sentence on stderr says so.
    """
    from traveler.record.shop import Shop

    shop = Shop.open(shop_path(), read_only=read_only)
    if shop.warning:
        tell_sentences(shop.warning)
    return shop


def stated_person(name: str | None) -> "Person":
    """As ``who.stated_person``, which the app asks without the commands."""
    from traveler.cli import who

    return who.stated_person(name)


def read_sheet_file(name: str) -> bytes:
    """The bytes of a job sheet, ``-`` for standard input; never more than it takes to see that it is too long."""
    try:
        if name == "-":
            if sys.stdin is None:
                raise BadInput("standard input is closed; expected a job sheet")
            return sys.stdin.buffer.read(LARGEST_READ_BYTES)
        with open(name, "rb") as file:
            return file.read(LARGEST_READ_BYTES)
    except (OSError, ValueError) as error:
        told = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise BadInput(f"{name} cannot be read: {told}; expected a job sheet") from error


def tell(outcome: "Outcome | Entered", *more: str) -> int:
    """Print an outcome with its reasons and ``more`` lines; returns the exit status."""
    return tell_lines(outcome, [*(f"  {reason}" for reason in outcome.reasons), *more])


def tell_lines(outcome: "Outcome | Entered", lines: Iterable[str]) -> int:
    """Print an outcome's sentence and then ``lines``; returns the exit status."""
    from traveler.report.words import visible

    text = "".join(f"{visible(line)}\n" for line in (outcome.message, *lines))
    # Whoever reads only the status must not enter the same thing again.
    say(text, unprinted=f"{outcome.message}; this is in the record" if outcome.recorded else outcome.message)
    return DONE if outcome.recorded and outcome.complies else ANSWER_IS_NO
