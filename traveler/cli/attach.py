"""``attach``: a file that is kept with a step, and a chart that is judged as well."""

import os
import stat
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any, BinaryIO

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
    instead_of: int | None,
    because: str | None,
    by: str | None,
) -> int:
    """Keep a file with a step; a chart is judged and counts as its readings.

    Its content goes into the shop's file, at most 64 MiB, under its SHA-256. A chart of a stress relief or a hydrogen
    release is held against the limits of the step; with --arc, one of a preheat or a weld gives the readings at those
    times. Status 1: the chart is not met or not shown; or refused, because the job has ended.
    """
    typed = {**given, "arcs": arcs, "instead_of": instead_of, "because": because}
    of_a_chart = [name for name, value in typed.items() if value not in (None, ())]
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
            return tell_entry(_under_its_rule(outcome, step, given), step)
        return tell(_keep(shop, person, job, step, file, role))


def _under_its_rule(outcome: "Outcome", step: int, given: Given) -> "Outcome":
    """Under a guard band a conditional chart is recorded like any other, but it is not enough."""
    charts = outcome.state.charts_of(step)
    conditional = outcome.recorded and bool(charts) and charts[-1].verdict == "conditional"
    return replace(outcome, complies=False) if conditional and given.get("rule") == "guard" else outcome


def _spelled(name: str) -> str:
    return {**SAYS, "arcs": "--arc"}.get(name, f"--{name.replace('_', '-')}")


def _attach_chart(
    shop: "Shop", person: "Person", job: str, step: int, file: str, typed: Mapping[str, Any]
) -> "Outcome":
    from traveler.acts.chart_file import arcs_typed
    from traveler.acts.charts import NewChart, attach_chart
    from traveler.acts.clock import SystemClock
    from traveler.cli.chart_file import regular_file_blocks
    from traveler.cli.chart_questions import until_clear

    asked = replace(asked_for(typed), arcs=arcs_typed(typed["arcs"]))
    new = NewChart(
        step, os.path.basename(file), regular_file_blocks(file), asked, typed["instead_of"], typed["because"]
    )
    return until_clear(
        asked, lambda asked: attach_chart(shop, SystemClock(), person, job, replace(new, asked=asked))
    )


def _keep(shop: "Shop", person: "Person", job: str, step: int, file: str, role: str) -> "Outcome":
    from traveler.acts.clock import SystemClock
    from traveler.acts.readings import attach as keep_file

    # Closing another handle on the shop's own file would drop the locks of this one.
    if os.path.exists(file) and os.path.samefile(file, shop.path):
        raise BadInput(f"{file} is the shop's file itself; expected a certificate or a photo")
    with _opened(file) as content:
        return keep_file(
            shop, SystemClock(), person, job, step, os.path.basename(file), _blocks(content), role
        )


def _opened(file: str) -> BinaryIO:
    expected = "expected a file to keep"
    try:
        # Waiting for a pipe or a device would keep everybody else from writing meanwhile.
        if not stat.S_ISREG(os.stat(file).st_mode):
            raise BadInput(f"{file} is a folder or a device; {expected}")
        return open(file, "rb")
    except (OSError, ValueError) as error:
        told = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise BadInput(f"{file} cannot be read: {told}; {expected}") from error


def _blocks(content: BinaryIO) -> Iterator[bytes]:
    while block := content.read(BLOCK_BYTES):
        yield block
