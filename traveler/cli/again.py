"""``again``, ``compare``: the same part once more, from other heats of steel."""

import os
from pathlib import Path

import click

from traveler.cli.common import job_argument, open_shop, read_sheet_file, shop_option
from traveler.cli.ending import ANSWER_IS_NO, DONE
from traveler.cli.output import put_bytes, say, say_json
from traveler.cli.whole_file import write_whole
from traveler.errors import BadInput


@click.command()
@job_argument
@click.option("--number", metavar="N", required=True, help="Number of the new job.")
@click.option(
    "--same-heat",
    "same_heat",
    metavar="ID",
    multiple=True,
    help="A material or filler of the sheet that is of the same heat or lot again; once for each.",
)
@click.option(
    "--as-built",
    "as_built",
    metavar="D",
    multiple=True,
    help="A dimension whose measured size becomes the nominal one; once for each.",
)
@click.option(
    "-o", "--output", metavar="SHEET", required=True, help="Where to write it; - for standard output."
)
@shop_option
def again(job: str, number: str, same_heat: tuple[str, ...], as_built: tuple[str, ...], output: str) -> int:
    """Write the sheet for making a part again, to be filled in for its new heats of steel.

    Heat numbers, certificates, compositions, tempering temperatures and lots of the old job are left out, and comments
    say where; measured dimensions come along in words. A file that exists is not replaced. Nothing is stored.
    """
    from traveler.acts.again import make_again
    from traveler.job.again import Asked

    if output != "-" and os.path.lexists(output):
        raise BadInput(f"{output} exists already; expected the name of a new file")
    with open_shop(read_only=True) as shop:
        made = make_again(shop, job, Asked(number, same_heat, as_built))
    if output == "-":
        put_bytes(made.text.encode())
        return DONE
    write_whole(Path(output), made.text.encode())
    from traveler.report.words import visible

    lines = [f"sheet of job {visible(number)}, made from job {visible(job)}: {visible(output)}"]
    say("".join(f"{line}\n" for line in (*lines, *(f"  {visible(told)}" for told in made.to_do))))
    return DONE


@click.command()
@job_argument
@click.argument("sheet", required=False)
@click.option("--with", "other", metavar="JOB", help="Another job of the shop, in place of a sheet.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
@shop_option
def compare(job: str, sheet: str | None, other: str | None, as_json: bool) -> int:
    """Lay a sheet beside a job: which limits and steps differ, and what on the sheet makes it so.

    SHEET is a TOML file, or - for standard input; --with names another job in its place. Stores nothing. Status 1:
    something is stricter than it was in JOB.
    """
    from traveler.acts.again import compare_jobs, compare_with_job

    if (sheet is None) == (other is None):
        raise BadInput("expected the file of a sheet, or --with and another job, and not both")
    raw = None if sheet is None else read_sheet_file(sheet)
    with open_shop(read_only=True) as shop:
        found = compare_jobs(shop, job, other or "") if raw is None else compare_with_job(shop, job, raw)
    if as_json:
        say_json(found)
    else:
        from traveler.report.compare_text import comparison_text

        say(comparison_text(found))
    return ANSWER_IS_NO if found["stricter"] else DONE
