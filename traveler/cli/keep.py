"""``backup`` and ``restore``: a second copy of the shop's file, and the way back."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from traveler.cli.common import by_option, open_shop, shop_option, shop_path, stated_person
from traveler.cli.ending import DONE
from traveler.cli.output import say
from traveler.cli.secret import Asking, secret_option
from traveler.cli.signing import asked_for, says
from traveler.errors import TravelerError

if TYPE_CHECKING:
    from traveler.job.person import Person
    from traveler.record.secrets import Secret
    from traveler.record.shop import Shop


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@by_option()
@shop_option
def backup(file: Path, by: str | None) -> int:
    """Copy the shop's file, and verify the copy.

    FILE is a name that is free. Others can work on in the meantime. The shop's own record notes that it was done;
    where the shop's file may only be read, it cannot. Note the code that is printed somewhere else.
    """
    from traveler.acts.clock import SystemClock, written
    from traveler.acts.register import by_in, shop_now
    from traveler.record.backup import backup as copy_shop
    from traveler.report.words import visible

    person = stated_person(by)
    with _writable_if_possible() as shop:
        made = copy_shop(shop, file, by_in(shop, person), written(shop_now(shop, SystemClock())))
        done = f"backup of {shop.path} written to {file} and verified"
    facts = f"{made.events} events, code {made.head}"
    noted = "" if made.noted else "\nNot noted in the shop's file, which could not be written."
    say(f"{visible(f'{done}: {facts}')}{noted}\n", unprinted=done)
    return DONE


def _writable_if_possible() -> "Shop":
    """The shop's file; a copy can be saved from a disk that has turned read-only, too."""
    try:
        return open_shop()
    except TravelerError:
        return open_shop(read_only=True)


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@by_option()
@secret_option
@shop_option
def restore(file: Path, by: str | None, secret_fd: int | None) -> int:
    """Make the shop's file from a backup.

    FILE is the backup; it is verified first. The shop's file must not exist: move it aside before. That it was
    restored, and the code of the backup, go into the shop's own record. Where people have secrets it takes an owner or
    an engineer, with the secret that they had when the backup was made.
    """
    from traveler.acts.clock import SystemClock
    from traveler.acts.restoring import restore_shop
    from traveler.report.words import visible

    person = stated_person(by)
    secret = _secret_in(file, person, Asking(secret_fd))
    restore_shop(file, shop_path(), SystemClock(), person, secret=secret)
    done = f"{shop_path()} restored from {file}"
    say(f"{visible(done)}\n", unprinted=done)
    return DONE


def _secret_in(backup: Path, person: "Person", asking: Asking) -> "Secret | None":
    """The secret of who restores, by the register in the backup; not asked where nothing can be restored anyway."""
    from traveler.record.shop import Shop

    if os.path.lexists(shop_path()):
        return None
    try:
        found = Shop.open(backup, read_only=True, watched=False)
    except TravelerError:
        # The restoring itself says what is wrong with it.
        return None
    with found:
        return asked_for(found, person, asking, says(f"puts {backup} in the place of {shop_path()}"))
