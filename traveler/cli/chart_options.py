"""The options that say how a chart is read and judged: those of ``chart`` and of ``attach``, and what they mean."""

import functools
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from traveler.errors import BadInput

if TYPE_CHECKING:
    from traveler.acts.chart_asked import Asked
    from traveler.chart.model import Told

Given = Mapping[str, Any]
"""Options of a chart as typed, by their names in the command; only those that were given."""

SAYS: Mapping[str, str] = {
    "couples": "--couples",
    "furnace": "--furnace",
    "spares": "--spare",
    "ignored": "--ignore",
    "unit": "--unit",
    "delimiter": "--delimiter",
    "decimal": "--decimal",
    "header_line": "--header-line",
    "time": "--time",
    "time_form": "--time-form",
    "date_order": "--date-order",
    "zone": "--zone",
    "missing": "--missing",
    "method": "--method",
}
"""What may be said of a file (a field of ``Told``, the key of a question) and the option that says it."""

JUDGING = ("window", "soak", "max_gap", "uncertainty", "rule", "loaded", "out")

_OPTIONS = (
    click.option(
        "--couples",
        metavar="NAMES",
        multiple=True,
        help="Columns of the part couples that have to show it, with commas between.  "
        "[default: every column of temperatures]",
    ),
    click.option("--furnace", metavar="NAMES", multiple=True, help="Columns of the furnace's own couples."),
    click.option(
        "--spare",
        "spares",
        metavar="SPARE=COUPLE",
        multiple=True,
        help="A column that stands in for a couple when that one fails; repeatable.",
    ),
    click.option("--ignore", "ignored", metavar="NAMES", multiple=True, help="Columns to leave out."),
    click.option(
        "--unit",
        type=click.Choice(["C", "F"], case_sensitive=False),
        metavar="C|F",
        help="Unit of the readings.",
    ),
    click.option(
        "--delimiter", metavar="TEXT", help="What parts the columns: , ; | tab, spaces, two spaces."
    ),
    click.option("--decimal", type=click.Choice([".", ","]), help="The decimal mark."),
    click.option("--header-line", metavar="N", type=int, help="Line with the names; 0 where there are none."),
    click.option(
        "--time",
        metavar="COLUMN",
        multiple=True,
        help="The column of times; given twice where date and time of day have one each.",
    ),
    click.option("--time-form", metavar="FORM", help="What it holds, such as elapsed min."),
    click.option(
        "--date-order",
        type=click.Choice(["dmy", "mdy", "ymd"]),
        help="Order of day, month and year in dates.",
    ),
    click.option(
        "--zone", metavar="ZONE", help="Zone of the clock, such as Europe/Berlin; none: it is never changed."
    ),
    click.option(
        "--missing", metavar="TEXT", multiple=True, help="What stands where nothing was read; repeatable."
    ),
    click.option(
        "--mapping", metavar="FILE", help="A TOML file that says all of this; options beside it win."
    ),
    click.option(
        "--method",
        type=click.Choice(["logger", "hand-read", "crayon"]),
        help="How it was recorded.  [default: logger]",
    ),
    click.option(
        "--window", metavar="TIME", help="Stretch over which rates are taken, 5 to 60 min.  [default: 30 min]"
    ),
    click.option(
        "--soak",
        type=click.Choice(["longest", "sum"]),
        help="Whether the longest interval counts as the soak or all together.  [default: longest]",
    ),
    click.option(
        "--max-gap",
        metavar="TIME",
        help="Rows further apart show nothing between.  [default: twice the usual interval, at most 10 min]",
    ),
    click.option(
        "--uncertainty",
        metavar="TEXT",
        help='Expanded uncertainty (k = 2) of one reading, such as "5 F" or "K class 2, reader 1.5 C".  '
        "[default: taken as zero]",
    ),
    click.option(
        "--rule",
        type=click.Choice(["simple", "guard"]),
        help="Whether inside by less than the uncertainty is enough.  [default: simple, it is]",
    ),
    click.option("--loaded", metavar="TIME", help="When the part went into the furnace."),
    click.option("--out", metavar="TIME", help="When it came out of the furnace or from under its cover."),
)


def chart_options(command: Callable[..., int]) -> Callable[..., int]:
    """Give a command the options of a chart; those that were typed are handed to it as ``given``."""

    @functools.wraps(command)
    def with_given(**values: Any) -> int:
        typed = {name: values.pop(name) for name in (*SAYS, "mapping", *JUDGING)}
        return command(
            given={name: value for name, value in typed.items() if value not in (None, ())}, **values
        )

    for option in reversed(_OPTIONS):
        option(with_given)
    return with_given


def asked_for(given: Given) -> "Asked":
    """What the options ask for. Raises BadInput for one that cannot be read, and for a bad mapping file."""
    from traveler.acts.chart_asked import Asked

    return Asked(told=_told(given), **{name: given[name] for name in JUDGING if name in given})


def _told(given: Given) -> "Told":
    """What the mapping file says of the chart, with what is given beside it in its place."""
    from traveler.acts.chart_file import names_typed, spares_typed
    from traveler.chart.model import Told

    said = {name: given[name] for name in SAYS if name in given}
    for name in {"couples", "furnace", "ignored"} & said.keys():
        said[name] = names_typed(said[name])
    if "spares" in said:
        said["spares"] = spares_typed(said["spares"])
    if "unit" in said:
        said["unit"] = f"deg{said['unit']}"
    return replace(_mapped(given["mapping"]) if "mapping" in given else Told(), **said)


def _mapped(file: str) -> "Told":
    from traveler.chart.reading.mapping_file import LARGEST_BYTES, read_mapping

    try:
        with open(file, "rb") as content:
            return read_mapping(content.read(LARGEST_BYTES + 1))
    except (OSError, ValueError) as error:
        told = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise BadInput(f"{file} cannot be read: {told}; expected a mapping file in TOML") from error
