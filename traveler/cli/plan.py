"""``plan``: what a job needs, before anybody decides to take it on."""

import click

from traveler.cli.common import read_sheet_file
from traveler.cli.ending import ANSWER_IS_NO, DONE
from traveler.cli.output import say, say_json


@click.command()
@click.argument("sheet")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
@click.option("--working", is_flag=True, help="Show the inputs, contributions and sources of every method.")
def plan(sheet: str, as_json: bool, working: bool) -> int:
    """Print what each step of a job sheet needs and why; store nothing.

    SHEET is a TOML file, or - for standard input. Status 1: the plan has conflicts.
    """
    from traveler.acts.planning import plan_sheet
    from traveler.job.view_plan import plan_object

    planned = plan_sheet(read_sheet_file(sheet))
    if as_json:
        say_json(plan_object(planned))
    else:
        from traveler.report.text import plan_text

        say(plan_text(plan_object(planned), working=working))
    return ANSWER_IS_NO if planned.all_conflicts else DONE
