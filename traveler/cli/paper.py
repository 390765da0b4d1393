"""``paper``: what is printed to be written on, hung on or stuck on a part."""

import sys
from pathlib import Path
from typing import Literal

import click

from traveler.cli.common import is_shop, job_argument, open_shop, shop_option
from traveler.cli.ending import DONE
from traveler.cli.output import put_bytes
from traveler.cli.whole_file import write_whole
from traveler.errors import BadInput

Kind = Literal["blank", "tag", "label"]
Paper = Literal["a4", "letter"]


@click.command()
@job_argument
@click.option(
    "--as",
    "kind",
    type=click.Choice(["blank", "tag", "label"]),
    required=True,
    help="A blank traveler to fill in by hand, a tag for a hot part, a label for the part.",
)
@click.option("--paper", type=click.Choice(["a4", "letter"]), help="Sheets of the PDF, as in export.")
@click.option(
    "--step", "steps", metavar="N", type=int, multiple=True, help="Of a blank traveler: this step; repeat it."
)
@click.option(
    "--temperature", metavar="T", help="Of a tag: how hot it is, with its unit.  [default: a blank]"
)
@click.option("--time", metavar="TIME", help="Of a tag: when that was, in ISO 8601.  [default: a blank]")
@click.option(
    "-o", "--output", metavar="FILE", required=True, help="Where to write it; - for standard output."
)
@shop_option
def paper(
    job: str,
    kind: Kind,
    paper: Paper | None,
    steps: tuple[int, ...],
    temperature: str | None,
    time: str | None,
    output: str,
) -> int:
    """Print a blank traveler, a tag for a hot part or a label, as PDF.

    Printing writes nothing into the record. What was written on a blank traveler is typed in later with record and its
    --at, and prints as a late entry.
    """
    if steps and kind != "blank":
        raise BadInput("--step belongs to --as blank; leave it out")
    for name, given in (("--temperature", temperature), ("--time", time)):
        if given is not None and kind != "tag":
            raise BadInput(f"{name} belongs to --as tag; leave it out")
    if output == "-" and sys.stdout is not None and sys.stdout.isatty():
        raise BadInput("a PDF cannot be shown on a terminal; name a file with -o")
    if output != "-" and is_shop(output):
        raise BadInput(f"{output} is the shop's file itself; expected another name")
    from traveler.acts.clock import SystemClock
    from traveler.acts.paper import Wanted, shop_paper

    with open_shop(read_only=True) as shop:
        content = shop_paper(shop, SystemClock(), job, Wanted(kind, paper, steps, temperature, time))
    if output == "-":
        put_bytes(content)
    else:
        write_whole(Path(output), content)
    return DONE
