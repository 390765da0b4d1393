"""What is said about a judged chart, alike on a terminal and on paper; texts of files and people are made safe."""

import re
from collections.abc import Mapping

from traveler.report.chart_clock import ChartClock
from traveler.report.words import Object, moment_words, person, stamp, visible

MOST_PLACES = 24
"""Failing places that are listed and marked; a chart with more of them is not read place by place."""
EARLIER_LIMITS = "against the limits of an earlier revision"
TABLE_HEADS = ("criterion", "limit", "worst, where and when", "margin", "verdict")
_INSTANT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d")
_BOUNDS = {"at_least": "at least ", "at_most": "at most "}
_OPTIONS = {
    "window": "rates over any {}",
    "soak": "soak time is {}",
    "max_gap": "nothing shown between rows further apart than {}",
    "uncertainty": "uncertainty of a reading {}",
    "rule": "{}",
    "loaded": "part loaded at {}",
    "out": "part taken out at {}",
    "method": "{}",
    "arcs": "{}",
}
_OF_A_LOG = ("arcs", "max_gap", "method")
"""What counts where a logger is read at the arcs of a weld, and nothing judged."""
_WHOLE = {
    ("soak", "longest"): "soak time is the longest uninterrupted interval",
    ("soak", "sum"): "soak time is the sum of all intervals",
    ("uncertainty", None): "uncertainty of a reading not stated, taken as zero",
    ("rule", "simple"): "simple acceptance",
    ("rule", "guard"): "guard band of the uncertainty",
    ("loaded", None): "loading not marked",
    ("out", None): "taking out not marked",
    ("method", "logger"): "recorded by a logger",
    ("method", "hand-read"): "read by hand off a chart on paper",
    ("method", "crayon"): "by temperature crayons",
}


def title_words(chart: Object) -> str:
    """ "Chart 2 of stress relief: relief.csv", as far as the chart has a number, a kind and a name."""
    number = f" {chart['chart']}" if chart.get("chart") is not None else ""
    kind = {"relief": "stress relief"}.get(str(chart.get("kind")), visible(chart.get("kind") or ""))
    of_kind = f" of {kind}" if kind else ""
    name = f": {visible(chart['name'])}" if chart.get("name") else ""
    return f"Chart{number}{of_kind}{name}"


def head_words(chart: Object) -> str:
    """The title of a chart with its verdict in capitals, or that it was taken back and why."""
    verdict = visible(chart["verdict"]).upper() + ("" if is_current(chart) else f", {EARLIER_LIMITS}")
    return f"{title_words(chart)}: {taken_back_words(chart) or verdict}"


def is_current(chart: Object) -> bool:
    """Whether it was held against the limits of the present revision of its job, where it has one."""
    return bool(chart.get("against_current_limits", True))


def is_logged(chart: Object) -> bool:
    """Whether it is of a logger left running during welding, which is read at the arcs and not judged."""
    return chart.get("kind") in ("preheat", "weld")


def taken_back_words(chart: Object) -> str:
    """That a chart no longer counts, what stands in its place and why; empty for one that stands."""
    if not chart.get("superseded"):
        return ""
    instead = chart.get("superseded_by")
    replaced = "" if instead is None else f", chart {visible(instead)} stands in its place"
    reason = f": {visible(chart['reason'])}" if chart.get("reason") else ""
    return f"taken back{replaced}{reason}"


def then_words(chart: Object) -> str:
    """What was found on a chart that no longer counts: its verdict and those of its criteria, in one sentence."""
    each = [f"{visible(c['criterion'])} {visible(c['verdict'])}" for c in chart["criteria"]]
    return f"Judged then: {visible(chart['verdict'])}" + (f" ({', '.join(each)})" if each else "")


def criterion_cells(criterion: Object) -> list[str]:
    """Criterion, limit, worst value, where and when, margin; each empty where there is none. Then the verdict."""
    couple = [visible(criterion["couple"])] if criterion["couple"] else []
    at = [stamp(criterion["at"])] if criterion["at"] else []
    return [
        visible(criterion["criterion"]),
        f"{_BOUNDS.get(str(criterion['bound']), '')}{visible(criterion['limit_shown'])}"
        if criterion["limit_shown"]
        else "",
        visible(criterion["worst_shown"] or ""),
        ", ".join(couple + at),
        visible(criterion["margin_shown"] or ""),
        visible(criterion["verdict"]),
    ]


def below_criterion(criterion: Object, places: Mapping[str, list[int]]) -> list[str]:
    """What stands beneath a row of the table: where it fails, the reasons, the source with its mark."""
    said = []
    numbers = places.get(criterion["criterion"], [])
    if numbers:
        noun = "mark" if len(numbers) == 1 else "marks"
        said.append(f"on the chart: {noun} {', '.join(map(str, numbers))}")
    said += [_told(reason) for reason in criterion["reasons"]]
    if not criterion["decides"]:
        said.append("for information, does not decide the verdict on the chart")
    if criterion["source"]:
        said.append(f"{visible(criterion['source'])} [{visible(criterion['mark'] or 'no mark')}]")
    return said


def unit_words(drawing: Object) -> str:
    """The unit of the temperatures drawn."""
    return {"degC": "°C", "degF": "°F"}.get(drawing["unit"], visible(drawing["unit"]))


def axis_words(drawing: Object, clock: ChartClock) -> str:
    """What the axis of time shows, and what the marks of loading and taking out mean."""
    marked = drawing["loaded_s"] is not None or drawing["out_s"] is not None
    return clock.axis_words() + ("; in, out: part loaded, taken out" if marked else "")


def place_numbers(drawing: Object) -> dict[str, list[int]]:
    """The numbers of the failing places of each criterion, as they are marked on the drawing."""
    numbers: dict[str, list[int]] = {}
    for number, fault in enumerate(drawing["faults"][:MOST_PLACES], start=1):
        numbers.setdefault(fault["criterion"], []).append(number)
    return numbers


def marked_places(drawing: Object) -> list[tuple[float, float, str]]:
    """What is marked over the drawing, each from when to when [s] with its words, in order of time.

    Numbers of the failing places, those of the same stretch together; "in" and "out" of the part.
    """
    numbers: dict[tuple[float, float], list[str]] = {}
    for number, fault in enumerate(drawing["faults"][:MOST_PLACES], start=1):
        numbers.setdefault((fault["from_s"], fault["to_s"]), []).append(str(number))
    places = [(from_s, to_s, ",".join(found)) for (from_s, to_s), found in numbers.items()]
    entered = ((drawing["loaded_s"], "in"), (drawing["out_s"], "out"))
    places += [(seconds, seconds, words) for seconds, words in entered if seconds is not None]
    return sorted(places)


def place_words(fault: Object, clock: ChartClock) -> str:
    """One failing place: criterion, from when to when, what happens there."""
    times = clock.span_words(fault["from_s"], fault["to_s"])
    return f"{visible(fault['criterion'])}, {times}: {_told(fault['words'])}"


def further_places(drawing: Object) -> str:
    """How many failing places are neither marked nor listed; empty where all are."""
    more = len(drawing["faults"]) - MOST_PLACES
    return f"{more} more failing place{'s' if more > 1 else ''} not marked" if more > 0 else ""


def facts(chart: Object) -> list[tuple[str, list[str]]]:
    """File, how it was read and judged, who entered it: labels with their texts, those that have any."""
    name = [visible(chart["name"])] if chart.get("name") else []
    size = [f"{chart['size']} bytes"] if chart.get("size") is not None else []
    logged = is_logged(chart)
    options = [
        _option_words(key, value) for key, value in chart["options"].items() if not logged or key in _OF_A_LOG
    ]
    result = [
        ("Soak", [_told(text) for text in chart["soaks"]]),
        ("Effect", [f"{visible(words)}: {visible(value)}" for words, value in chart.get("cycle", ())]),
    ]
    found = [
        *([] if chart.get("superseded") else result),
        ("File", [", ".join([*name, *size, f"SHA-256 {visible(chart['sha256'])}"])]),
        ("Read as", [_pair_words(key, value) for key, value in chart["mapping"].items()]),
        ("Arcs", options)
        if logged
        else ("Judged with", [*options, f"judge version {visible(chart['judge'])}"]),
        ("Limits", [] if is_current(chart) else ["those of an earlier revision, not of this one"]),
        ("Notes", [_told(note) for note in chart["notes"]]),
        ("Answers", [", ".join(visible(quantity) for quantity in chart.get("answers") or ())]),
        ("Entered", [f"{person(chart['by'])}, {moment_words(chart)}"] if chart.get("by") else []),
    ]
    return [(label, texts) for label, texts in found if any(texts)]


def _told(text: object) -> str:
    """A sentence of the judge with its instants as they stand elsewhere."""
    return _INSTANT.sub(lambda found: stamp(found[0]), visible(text))


def _pair_words(key: object, value: object) -> str:
    texts = value if isinstance(value, list | tuple) else [value]
    said = ", ".join("none" if text is None else _quoted(visible(text)) for text in texts)
    return f"{visible(key).replace('_', ' ')}: {said or 'none'}"


def _quoted(text: str) -> str:
    """A comma or a space by itself would be lost in the sentence."""
    return text if any(char.isalnum() for char in text) else f'"{text}"'


def _option_words(key: str, value: object) -> str:
    whole = _WHOLE.get((key, value if isinstance(value, str) else None))
    said = "not stated" if value is None else _told(value)
    return whole or _OPTIONS.get(key, visible(key).replace("{", "{{").replace("}", "}}") + " {}").format(said)
