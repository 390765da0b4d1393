"""What the screen of a joint's routes says, as lines of safe text for a width. No widgets here."""

from collections.abc import Iterator, Sequence

from traveler.report.chart_text import Size
from traveler.report.routes_chart_text import preheat_chart, relief_chart
from traveler.report.routes_text import (
    REMARKS,
    bake_lines,
    combinations,
    limit_lines,
    preheat_lines,
    relief_lines,
    satisfying_remarks,
    section,
    why_not,
)
from traveler.report.words import Object, count_words, visible
from traveler.tui.layout import wrapped

LEAST_CHART_WIDTH = 56
"""Narrower than this a chart is a smear and a table breaks; the points then stand in sentences."""
LABEL_WIDTH, HOURS_WIDTH = 7, 9
"""Columns as narrow as they can be, so that the longest answer stays on its line in 80 columns."""


def combination_lines(joint: Object, revision: int, width: int) -> list[str]:
    """Which combinations satisfy the limits, which do not and by which limit, with the hours of each."""
    routes = joint["routes"]
    satisfying = sum(route["satisfies"] for route in routes)
    verb = "satisfies" if satisfying == 1 else "satisfy"
    lines = [
        "Predictions with their scatter; nothing is recommended.",
        f"From the sheet of revision {revision}, worked out now: {satisfying} of "
        f"{count_words(len(routes), 'combination')} {verb} every limit.",
        "",
    ]
    if not routes:
        return [*lines, *section("CONFLICTS", joint["conflicts"]), *section("NOTES", joint["notes"])]
    lines += [*_choices(joint), ""]
    lines += _table(joint, width) if width >= LEAST_CHART_WIDTH else _list(joint)
    lines += section("WHY NOT", why_not(joint))
    return [*lines, *section("OF THOSE THAT SATISFY", satisfying_remarks(joint))]


def _choices(joint: Object) -> Iterator[str]:
    preheats = [
        f"{choice['label']} {choice['preheat'].partition(' (')[0]} "
        f"(to {(choice['interpass_max'] or 'no maximum').partition(' (')[0]})"
        for choice in joint["preheats"]
    ]
    yield f"Preheat (to interpass): {', '.join(preheats)}"
    yield f"After the last run: {'; '.join(_bake(bake) for bake in joint['bakes'])}"
    yield f"Stress relief: {'; '.join(_relief(choice) for choice in joint['reliefs'])}"


def _bake(bake: Object) -> str:
    named = f"{bake['label']} {visible(bake['name'])}"
    weighed = [after for after in bake["after"] if after["temperature"]]
    if not weighed:
        return named
    least, most = weighed[0]["hours"]
    same = len({after["temperature"] for after in weighed}) == 1
    at = f" at {weighed[0]['temperature']}" if same and len(weighed) > 1 else ""
    return f"{named} {least:g} to {most:g} h{at}"


def _relief(choice: Object) -> str:
    soak = f" at {choice['soak']}" if choice["soak"] else ""
    return f"{choice['label']} {visible(choice['name'])}{soak}"


def _table(joint: Object, width: int) -> Iterator[str]:
    """A line for each preheat with each relief, the hours by what is done for hydrogen in columns."""
    heads = "".join(f"{bake['label']}, h".ljust(HOURS_WIDTH) for bake in joint["bakes"])
    margin = LABEL_WIDTH + HOURS_WIDTH * len(joint["bakes"])
    yield f"{' ' * LABEL_WIDTH}{heads}satisfies"
    for row in combinations(joint):
        cells = "".join(cell.ljust(HOURS_WIDTH) for cell in row.hours)
        first, *rest = wrapped(row.answer, width - margin)
        yield f"{row.label.ljust(LABEL_WIDTH)}{cells}{first}"
        yield from (f"{' ' * margin}{line}" for line in rest)


def _list(joint: Object) -> Iterator[str]:
    labels = [bake["label"] for bake in joint["bakes"]]
    for row in combinations(joint):
        yield f"{row.label}  {row.answer}"
        hours = ", ".join(f"{label} {cell} h" for label, cell in zip(labels, row.hours, strict=True))
        yield f"  {hours}"


def as_welded_lines(joint: Object, units: str, plain: bool, size: Size) -> list[str]:
    """Hardness beside the weld against preheat: the chart and its points."""
    if size.width >= LEAST_CHART_WIDTH:
        return ["AS WELDED", *preheat_chart(joint, units, plain, size)]
    lines = ["AS WELDED", "Predicted hardness beside the weld at each preheat:"]
    for point in joint["charts"]["hardness_against_preheat"]:
        found = [f"{visible(hardness['material'])} {_band_words(hardness)}" for hardness in point["hardness"]]
        lines.append(f"  {point['preheat']}: {'; '.join(found)}")
    return [*lines, *_scatter_words(joint), *_limit_words(joint)]


def _band_words(hardness: Object) -> str:
    if hardness["hv"] is None:
        return "not predicted"
    low, high = hardness["hv"]
    return f"{low} to {high} HV{', extrapolated' if hardness['extrapolated'] else ''}"


def _scatter_words(joint: Object) -> list[str]:
    scatters = [
        hardness["scatter_hv"]
        for point in joint["charts"]["hardness_against_preheat"]
        for hardness in point["hardness"]
        if hardness["scatter_hv"]
    ]
    return [f"Welds scatter about these by ± {max(scatters)} HV."] if scatters else []


def _limit_words(joint: Object) -> list[str]:
    limit = joint["limits"]["hardness"]
    return [f"Limit: {limit}." if limit else "The job sets no limit to hardness."]


def relieved_lines(joint: Object, units: str, plain: bool, size: Size) -> list[str]:
    """Hardness left by a stress relief against its temperature: the chart and its points."""
    points = [
        point for point in joint["charts"]["tempered_against_relief"] if None not in point["hv"].values()
    ]
    if not points:
        return ["AFTER RELIEF", "No stress relief is predicted here.", *_notes(joint)]
    if size.width >= LEAST_CHART_WIDTH:
        return ["AFTER RELIEF", *relief_chart(joint, units, plain, size)]
    lines = ["AFTER RELIEF", "Hardness left where the zone was all martensite, an upper bound:"]
    for point in points:
        values = ", ".join(f"{hours} h {value}" for hours, value in point["hv"].items())
        lines.append(f"  {point['soak']}: {values} HV{', extrapolated' if point['extrapolated'] else ''}")
    return [*lines, *_limit_words(joint)]


def _notes(joint: Object) -> Sequence[str]:
    return [visible(note) for note in joint["notes"]]


def ground_lines(joint: Object) -> list[str]:
    """The limits, every choice with what is said of it, and what the numbers rest on."""
    return [
        "GROUNDS",
        f"{visible(joint['type'])}, process {joint['process']}, thickest member {joint['thickest']}, "
        f"{joint['limits']['heat_input_kj_mm']:g} kJ/mm as on the sheet",
        *section("LIMITS", limit_lines(joint)),
        *section("CONFLICTS", joint["conflicts"]),
        *section("NOTES", joint["notes"]),
        *("", "P: PREHEAT AND INTERPASS", *preheat_lines(joint)),
        *("", "H: HYDROGEN AFTER THE LAST RUN", *bake_lines(joint)),
        *("", "S: STRESS RELIEF", *relief_lines(joint)),
        *section("WHAT THE NUMBERS REST ON", REMARKS),
    ]
