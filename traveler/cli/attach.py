"""``attach``: a file that is kept with a step, and a chart that is judged as well."""

import os
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from traveler.cli.bench import tell_entry
from traveler.cli.chart_options import SAYS, Given, asked_for, chart_options
from traveler.cli.common import by_option, job_argument, open_shop, shop_option, stated_person, tell
from traveler.errors import BadInput

if TYPE_CHECKING:
    from traveler.acts.change import Outcome
    from traveler.job.state import Person
    from traveler.record.shop import Shop

BLOCK_BYTES = 1024 * 1024


@click.command()
@job_argument
@click.argument("step", type=int)
@click.argument("file")
@click.option(
    "--as",
    "role",
    type=click.Choice(["chart", "certificate", "photo"]),
    required=True,
    help="What the file is.",
)
@chart_options
@click.option(
    "--arc",
    "arcs",
    metavar="RUN=TIME",
    multiple=True,
    help="When the arc of a run of weld was started, such as 1=10:02; repeatable.",
)
@click.option("--instrument", metavar="I", help="What recorded it: its id, name or serial number, or words.")
@click.option(
    "--from-vendor", is_flag=True, help="It was recorded at the vendor who did the work of the step."
)
@click.option("--instead-of", metavar="N", type=int, help="The chart that was read wrongly, by its number.")
@click.option("--because", metavar="TEXT", help="Why it is taken back.")
@by_option()
@shop_option
def attach(
    job: str,
    step: int,
    file: str,
    role: str,
    given: Given,
    arcs: tuple[str, ...],
    instrument: str | None,
    from_vendor: bool,
    instead_of: int | None,
    because: str | None,
    by: str | None,
) -> int:
    """Keep a file with a step; a chart is judged and counts as its readings.

    Its content goes into the shop's file, at most 64 MiB, under its SHA-256. A chart of a stress relief or a hydrogen
    release is held against the limits of the step; with --arc, one of a preheat or a weld gives the readings at those
    times. Status 1: the chart is not met or not shown; or refused, because the job has ended.
    """
    typed = {
        **given, "arcs": arcs, "instrument": instrument, "from_vendor": from_vendor, "instead_of": instead_of,
        "because": because,
    }  # fmt: skip
    of_a_chart = [name for name, value in typed.items() if value not in (None, (), False)]
    if role != "chart" and of_a_chart:
        raise BadInput(f"{_spelled(of_a_chart[0])} belongs to --as chart; leave it out")
    if because is not None and instead_of is None:
        raise BadInput(
            "--because says why a chart is taken back; name that chart with --instead-of, or leave it out"
        )
    person = stated_person(by)
    with open_shop() as shop:
        if role == "chart":
            outcome = _attach_chart(shop, person, job, step, file, typed)
            return tell_entry(outcome, step)
        return tell(_keep(shop, person, job, step, file, role))


def _spelled(name: str) -> str:
    return {**SAYS, "arcs": "--arc"}.get(name, f"--{name.replace('_', '-')}")


def _attach_chart(
    shop: "Shop", person: "Person", job: str, step: int, file: str, typed: Mapping[str, Any]
) -> "Outcome":
    from traveler.acts.chart_file import arcs_typed, file_blocks
    from traveler.acts.charts import NewChart, attach_chart
    from traveler.acts.clock import SystemClock
    from traveler.cli.chart_questions import until_clear

    asked = replace(asked_for(typed), arcs=arcs_typed(typed["arcs"]))
    new = NewChart(
        step,
        os.path.basename(file),
        file_blocks(file, shop.path),
        asked,
        typed["instead_of"],
        typed["because"],
        typed["instrument"],
        typed["from_vendor"],
    )
    return until_clear(
        asked, lambda asked: attach_chart(shop, SystemClock(), person, job, replace(new, asked=asked))
    )


def _keep(shop: "Shop", person: "Person", job: str, step: int, file: str, role: str) -> "Outcome":
    from traveler.acts.chart_file import file_blocks
    from traveler.acts.clock import SystemClock
    from traveler.acts.readings import attach as keep_file

    content = file_blocks(file, shop.path, "expected a certificate or a photo")
    return keep_file(shop, SystemClock(), person, job, step, os.path.basename(file), content(), role)
