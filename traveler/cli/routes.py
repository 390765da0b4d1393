"""``routes``: more preheat or heat treatment afterwards, weighed for the joints of a sheet."""

import codecs
import os
import sys
from collections.abc import Mapping

import click

from traveler.cli.common import read_sheet_file
from traveler.cli.ending import ANSWER_IS_NO, DONE
from traveler.cli.output import say, say_json


@click.command()
@click.argument("sheet")
@click.option("--joint", metavar="J", help="One joint of the sheet.  [default: every joint]")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
def routes(sheet: str, joint: str | None, as_json: bool) -> int:
    """Weigh preheat against heat afterwards: which combinations satisfy the limits; store nothing.

    SHEET is a TOML file, or - for standard input. Charts are drawn in ASCII where the output is not UTF-8 or
    TRAVELER_ASCII=1. Status 1: a joint has no combination that satisfies every limit.
    """
    from traveler.acts.routes import all_have_a_route, weigh_routes

    found = weigh_routes(read_sheet_file(sheet), joint)
    if as_json:
        say_json(found)
    else:
        from traveler.report.routes_text import routes_text

        say(routes_text(found, plain=wants_ascii(os.environ, getattr(sys.stdout, "encoding", None))))
    return DONE if all_have_a_route(found) else ANSWER_IS_NO


def wants_ascii(environ: Mapping[str, str], encoding: str | None) -> bool:
    """Where blocks and braille dots cannot be shown, or are not wanted."""
    if environ.get("TRAVELER_ASCII") == "1" or encoding is None:
        return True
    try:
        return codecs.lookup(encoding).name != "utf-8"
    except LookupError:
        return True
