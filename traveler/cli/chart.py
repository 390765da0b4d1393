"""``chart``: a recorded chart by itself, held against a rule profile."""

import os
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Literal

import click

from traveler.cli.chart_options import Given, asked_for, chart_options
from traveler.cli.common import shop_path
from traveler.cli.ending import ANSWER_IS_NO, DONE
from traveler.cli.output import say, say_json
from traveler.errors import BadInput


@click.command()
@click.argument("file")
@click.option("--profile", metavar="P", required=True, help='The rule profile, such as "UCS-56 P-1".')
@click.option("--thickness", metavar="T", required=True, help="The thickness it goes by, such as 1/2 in.")
@click.option(
    "--units",
    type=click.Choice(["inch", "metric"]),
    help="Which of a profile's two printed limits count.  [default: those of the thickness]",
)
@click.option("--ceiling", metavar="TEMP", help='A temperature that no couple may exceed, such as "1150 F".')
@chart_options
@click.option("--save-mapping", metavar="FILE", help="Write how the file was read, to be given as --mapping.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
def chart(
    file: str,
    profile: str,
    thickness: str,
    units: Literal["inch", "metric"] | None,
    ceiling: str | None,
    given: Given,
    save_mapping: str | None,
    as_json: bool,
) -> int:
    """Judge a recorded chart against a rule profile and show where it fails; store nothing.

    FILE is what a logger wrote, or - for standard input. What it leaves open is asked at a terminal, and is status 2
    elsewhere. Status 1: not met or not shown; conditional, under --rule guard.
    """
    from traveler.acts.charts import judge_file
    from traveler.cli.chart_file import chart_blocks
    from traveler.cli.chart_questions import until_clear

    blocks = chart_blocks(file)
    found = until_clear(
        asked_for(given), lambda asked: judge_file(blocks, profile, thickness, asked, units, ceiling)
    )
    if save_mapping is not None:
        _save_mapping(save_mapping, file, found["mapping"])
    if as_json:
        say_json(found)
    else:
        name = None if file == "-" else os.path.basename(file)
        say(_text({**found, "name": name}))
    return _status(found)


def _save_mapping(target: str, file: str, mapping: Mapping[str, object]) -> None:
    from traveler.chart.reading.mapping_file import told_from_mapping, write_mapping
    from traveler.cli.whole_file import write_whole

    if target.strip() in ("", "-"):
        raise BadInput(
            f'"{target}" is no name of a file; expected one to write the mapping to (--save-mapping)'
        )
    for kept in (file, shop_path()):
        if os.path.exists(target) and os.path.exists(kept) and os.path.samefile(target, kept):
            raise BadInput(
                f"{target} is the chart or the shop's file itself; expected another name (--save-mapping)"
            )
    write_whole(Path(target), write_mapping(told_from_mapping(mapping)))


def _text(found: dict[str, Any]) -> str:
    from traveler.cli.routes import wants_ascii
    from traveler.report.in_ascii import in_ascii
    from traveler.report.lines import joined
    from traveler.report.relief_chart_text import chart_page

    if not wants_ascii(os.environ, getattr(sys.stdout, "encoding", None)):
        return joined(chart_page(found, plain=False))
    # In ASCII before it is laid out, so that columns stay columns; after that only words of the page are left.
    drawing = {**found["drawing"], "unit": found["drawing"]["unit"].removeprefix("deg")}
    return str(in_ascii(joined(chart_page(in_ascii({**found, "drawing": drawing}), plain=True))))


def _status(found: dict[str, Any]) -> int:
    """A reading inside its limit by less than the uncertainty is enough under simple acceptance only."""
    enough = ("met",) if found["options"]["rule"] == "guard" else ("met", "conditional")
    return DONE if found["verdict"] in enough else ANSWER_IS_NO
