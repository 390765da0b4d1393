"""``backup`` and ``restore``: a second copy of the shop's file, and the way back."""

from pathlib import Path

import click

from traveler.cli.common import by_option, open_shop, shop_option, shop_path, stated_person
from traveler.cli.ending import DONE
from traveler.cli.output import say


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@shop_option
def backup(file: Path) -> int:
    """Copy the shop's file, and verify the copy.

    FILE is a name that is free. Others can work on in the meantime.
    """
    from traveler.record.backup import backup as copy_shop
    from traveler.report.words import visible

    with open_shop(read_only=True) as shop:
        copy_shop(shop, file)
        done = f"backup of {shop.path} written to {file} and verified"
    say(f"{visible(done)}\n", unprinted=done)
    return DONE


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@by_option()
@shop_option
def restore(file: Path, by: str | None) -> int:
    """Make the shop's file from a backup.

    FILE is the backup; it is verified first. The shop's file must not exist: move it aside before. That it was
    restored, and the code of the backup, go into the shop's own record.
    """
    from traveler.acts.clock import SystemClock, written
    from traveler.record.backup import restore as restore_shop
    from traveler.report.words import visible

    person = stated_person(by)
    restore_shop(file, shop_path(), {"name": person.name, "how": person.how}, written(SystemClock().now()))
    done = f"{shop_path()} restored from {file}"
    say(f"{visible(done)}\n", unprinted=done)
    return DONE
