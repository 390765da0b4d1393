"""``lot`` and ``where``: lots of material and filler, and in which jobs, joints and runs they are."""

import os
from typing import TYPE_CHECKING

import click

from traveler.cli.common import by_option, open_shop, shop_option, stated_person, tell
from traveler.cli.ending import ANSWER_IS_NO, DONE
from traveler.cli.group import Group
from traveler.cli.output import say, say_json
from traveler.cli.secret import Asking, secret_option
from traveler.cli.signing import asked_for, says

if TYPE_CHECKING:
    from traveler.acts.register import Entered

CERTIFICATES = ("2.1", "2.2", "3.1", "3.2", "none")
VERIFIED_BY = ("certificate", "analysis", "spark", "hardness", "owner's word")

lot_argument = click.argument("lot")
at_option = click.option("--at", metavar="TIME", help="When, in ISO 8601.  [default: now]")
allowed_option = click.option("--allowed", metavar="T", help='How long they may be out, such as "4 h".')


@click.group(cls=Group)
def lot() -> None:
    """Register the lots of material and filler that the shop received.

    A lot is named by its id (L1) or by its heat or batch number. A reading "heat number of ..." or "filler lot" keeps
    the lot as it stood that day.
    """


@lot.command()
@click.argument("what", type=click.Choice(["material", "filler"]))
@click.argument("name", required=False)
@click.option("--heat", metavar="NUMBER", help="Heat number, or batch number of a filler, as it is marked.")
@click.option("--certificate", type=click.Choice(CERTIFICATES), help="Type of the document, by EN 10204.")
@click.option("--file", "file", metavar="FILE", help="The certificate itself, kept by its SHA-256.")
@click.option("--supplier", metavar="NAME", help="Who sold it.")
@click.option(
    "--verified-by", type=click.Choice(VERIFIED_BY), help="What shows the grade.  [default: nothing]"
)
@click.option(
    "--remnant-of", metavar="LOT", help="The lot that it was cut from; what is not given is as of that."
)
@by_option()
@secret_option
@shop_option
def add(
    what: str,
    name: str | None,
    heat: str | None,
    certificate: str | None,
    file: str | None,
    supplier: str | None,
    verified_by: str | None,
    remnant_of: str | None,
    by: str | None,
    secret_fd: int | None,
) -> int:
    """Bring a lot into the register. Its id is never used again.

    NAME is the grade of a material ("4130") or the classification of a filler ("E8018-B2"). A grade that only a spark
    test, a hardness or somebody's word shows has no known composition: that is said, here and in each job.
    """
    from traveler.acts.chart_file import file_blocks
    from traveler.acts.clock import SystemClock
    from traveler.acts.lots import NewLot, receive_lot

    entered = NewLot(what, name, heat, certificate, supplier, verified_by, remnant_of)
    person = stated_person(by)
    with open_shop() as shop:
        content = None if file is None else file_blocks(file, shop.path, "expected a certificate")
        kept = None if content is None or file is None else (os.path.basename(file), content())
        papers = f", certificate {certificate}" if certificate else ""
        said = f"enters a lot of {what} {name or ''} {heat or remnant_of or ''}{papers}"
        secret = asked_for(shop, person, Asking(secret_fd), says(" ".join(said.split())))
        return tell(receive_lot(shop, SystemClock(), person, entered, kept, secret=secret))


@lot.command(name="list")
@click.option("--json", "as_json", is_flag=True, help="Print a JSON list instead of text.")
@shop_option
def list_lots(as_json: bool) -> int:
    """List the lots, in the order in which they came."""
    from traveler.acts.register import register_of
    from traveler.job.inventory_view import lot_object

    with open_shop(read_only=True) as shop:
        found = [lot_object(entry) for entry in register_of(shop).lots]
    if as_json:
        say_json(found)
    else:
        from traveler.report.inventory_text import lots_text

        say(lots_text(found))
    return DONE


@lot.command()
@lot_argument
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
@shop_option
def show(lot: str, as_json: bool) -> int:
    """Show one lot with everything that was entered about it, by whom and when."""
    from traveler.acts.register_look import look_at_lot

    with open_shop(read_only=True) as shop:
        found = look_at_lot(shop, lot)
    if as_json:
        say_json(found)
    else:
        from traveler.report.inventory_text import lot_text

        say(lot_text(found))
    return DONE


@lot.command(name="opened")
@lot_argument
@at_option
@allowed_option
@by_option()
@shop_option
def opened_package(lot: str, at: str | None, allowed: str | None, by: str | None) -> int:
    """Enter that a package of electrodes was opened."""
    return tell(_electrodes(lot, at, allowed, by, rebaked=False))


@lot.command()
@lot_argument
@at_option
@allowed_option
@by_option()
@shop_option
def rebaked(lot: str, at: str | None, allowed: str | None, by: str | None) -> int:
    """Enter that electrodes were rebaked. Status 1: it is entered, and was once more than is allowed."""
    return tell(_electrodes(lot, at, allowed, by, rebaked=True))


def _electrodes(lot: str, at: str | None, allowed: str | None, by: str | None, *, rebaked: bool) -> "Entered":
    from traveler.acts.clock import SystemClock
    from traveler.acts.lots import open_electrodes

    person = stated_person(by)
    with open_shop() as shop:
        return open_electrodes(shop, SystemClock(), person, lot, rebaked, at, allowed)


@click.command()
@click.argument("heat")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
@shop_option
def where(heat: str, as_json: bool) -> int:
    """Tell in which jobs, joints, steps and runs a heat or a filler lot is.

    HEAT is a heat number, the batch number of a filler, or the id of a lot; what was cut from a lot is found with it.
    Status 1: it is in no job.
    """
    from traveler.acts.where import where_object, where_used

    with open_shop(read_only=True) as shop:
        found = where_object(where_used(shop, heat))
    if as_json:
        say_json(found)
    else:
        from traveler.report.inventory_text import where_text

        say(where_text(found))
    return DONE if found["jobs"] else ANSWER_IS_NO
