"""``export`` and ``verify``: the traveler as it leaves the shop."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from traveler.cli.common import is_shop, job_argument, open_shop, shop_option
from traveler.cli.ending import ANSWER_IS_NO, DONE
from traveler.cli.output import put_bytes, say
from traveler.cli.whole_file import write_whole
from traveler.errors import BadInput
from traveler.report.words import count_words, visible

if TYPE_CHECKING:
    from traveler.record.shop import Shop

Form = Literal["pdf", "json", "text", "csv", "markdown", "packet"]
Paper = Literal["a4", "letter"]
BINARY = {"pdf": "PDF", "packet": "packet"}
"""Forms that are no text, and their names."""


@click.command()
@job_argument
@click.option(
    "--format",
    "form",
    type=click.Choice(["pdf", "json", "text", "csv", "markdown", "packet"]),
    required=True,
    help="The form to write; a packet is a zip of them all, with the attachments and a verifier.",
)
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    help="Sheets of the PDF.  [default: the shop's setting, else letter for a job in inches, else a4]",
)
@click.option("--no-pdf", is_flag=True, help="Of a packet: without the sheets, which may lack a letter.")
@click.option(
    "-o", "--output", metavar="FILE", required=True, help="Where to write it; - for standard output."
)
@shop_option
def export(job: str, form: Form, paper: Paper | None, no_pdf: bool, output: str) -> int:
    """Write the traveler as PDF, JSON, text, Markdown or a packet, or its readings as CSV.

    FILE is written whole or not at all; one that exists is replaced. A job that is not closed is marked DRAFT on
    every sheet. Exporting writes nothing into the record. Of a packet the code is said, to be noted somewhere else.
    """
    if paper is not None and form not in BINARY:
        raise BadInput("--paper belongs to --format pdf or packet; leave it out")
    if no_pdf and form != "packet":
        raise BadInput("--no-pdf belongs to --format packet; leave it out")
    if no_pdf and paper is not None:
        raise BadInput("--paper is for the PDF, and --no-pdf leaves it out; leave one of them out")
    if output == "-" and form in BINARY and sys.stdout is not None and sys.stdout.isatty():
        raise BadInput(f"a {BINARY[form]} cannot be shown on a terminal; name a file with -o")
    if output != "-" and is_shop(output):
        raise BadInput(f"{output} is the shop's file itself; expected another name")
    with open_shop(read_only=True) as shop:
        content, said = _content(shop, job, form, paper, sheets=not no_pdf)
    if output == "-":
        put_bytes(content)
    else:
        write_whole(Path(output), content)
    if said:
        click.echo(said, err=output == "-")
    return DONE


def _content(
    shop: "Shop", job: str, form: Form, paper: Paper | None, *, sheets: bool
) -> tuple[bytes, str | None]:
    """What is written, and what is said of it."""
    if form == "packet":
        from traveler.acts.packet import packet

        made = packet(shop, job, paper, sheets=sheets)
        return made.content, f"packet of job {visible(job)}, code {made.code}"
    from traveler.acts.look import export as exported

    return exported(shop, job, form, paper), None


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--against",
    metavar="CODE|FILE",
    help="A code noted earlier, with its number of events or not; or another copy of the shop's file, or an export.",
)
@click.option("--chain", is_flag=True, help="Check the chains of events alone, which is quick.")
def verify(file: Path, against: str | None, chain: bool) -> int:
    """Check that a shop file, a JSON export or a packet is unaltered.

    Unaltered means: as it was when its code was noted somewhere else, on paper for instance. With --against it is
    looked for whether this file ever had that code, and what was added since. Status 1: altered, with the first event
    that is; or not the record that was noted.
    """
    from traveler.acts.verify import verify as checked

    found = checked(file, against, chain_only=chain)
    facts = f"{found.what}, {count_words(found.events, 'event')}, code {found.code}"
    sound = "chains unaltered" if chain else "unaltered"
    lines = [f"{'altered' if found.faults else sound}: {facts}", *(f"  {fault}" for fault in found.faults)]
    lines += found.against
    if not found.faults and not found.against:
        lines.append("Compare this code and count with those noted elsewhere.")
    say("".join(f"{visible(line)}\n" for line in lines))
    return DONE if found.fits and not found.faults else ANSWER_IS_NO
