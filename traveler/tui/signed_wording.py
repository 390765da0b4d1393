"""What is put before somebody who signs: the matter of the signature, line by line. No widgets here."""

from collections.abc import Iterator

from traveler.report.decided_words import (
    nonconformance_title,
    not_applicable_words,
    point_lines,
    question_lines,
    taken_with_words,
)
from traveler.report.outside_words import outside_lines
from traveler.report.requirement_words import limit_words, value_words, verdict_words
from traveler.report.words import Object, count_words, visible
from traveler.tui.wording import requirement_name, signing_lines


def signed_matter(traveler: Object, step: Object) -> list[str]:
    """What the signature on a step stands for."""
    lines = [line for requirement in step["requirements"] for line in _requirement(step, requirement)]
    lines += [_chart(chart) for chart in step["charts"]]
    attempt = f", attempt {step['attempt']}" if step["attempt"] > 1 else ""
    content = f"Revision {traveler['revision']}{attempt}, content {step['content']}"
    return [*lines, *decided_lines(traveler, step), *signing_lines(step), content]


def job_matter(traveler: Object) -> list[str]:
    """What the signature on a whole job stands for."""
    return [
        f"Revision {traveler['revision']}, {count_words(traveler['events'], 'event')}, record {traveler['head']}",
        *(
            f"Step {step['number']} {visible(step['kind'])}: {step['state']}, {count_words(_standing(step), 'reading')}"
            for step in traveler["steps"]
        ),
        *(f"Exception: {visible(text)}" for text in traveler["exceptions"]),
    ]


def decided_lines(traveler: Object, step: Object) -> Iterator[str]:
    """Points, work at a vendor, nonconformances and readings in question of a step."""
    yield from point_lines(step)
    yield from outside_lines(step)
    for entry in traveler["nonconformances"]:
        if entry["step"] == step["number"]:
            yield nonconformance_title(entry)
    for question in questions_of(traveler, step):
        yield from question_lines(question)
    if step["re_verify"]:
        yield f"This step is {visible(step['re_verify'])}"


def points_line(step: Object) -> list[str]:
    """Where the points of a step stand, on one line; nothing without any."""
    named = [
        f"{point['kind']} {point['point']} ({visible(point['party'])}) {point['state']}"
        for point in step["points"]
    ]
    return [f"Points: {'; '.join(named)}"] if named else []


def questions_of(traveler: Object, step: Object) -> list[Object]:
    """The questions about readings of a step."""
    numbers = {r["reading"] for requirement in step["requirements"] for r in requirement["readings"]}
    return [question for question in traveler["questions"] if numbers & set(question["readings"])]


def _requirement(step: Object, requirement: Object) -> Iterator[str]:
    standing = [reading for reading in requirement["readings"] if not reading["superseded"]]
    name = f"{requirement_name(step, requirement)}, {limit_words(requirement)}"
    yield f"{name}: {verdict_words(requirement)} ({count_words(len(standing), 'standing reading')})"
    if words := not_applicable_words(requirement):
        yield f"  {words}"
    for reading in standing:
        place = f" at {visible(reading['place'])}" if reading["place"] else ""
        taken = f" with {words}" if (words := taken_with_words(reading)) else ""
        yield f"  {value_words(reading)}{place}{taken}: {visible(reading['verdict'])}"


def _chart(chart: Object) -> str:
    verdict = "superseded" if chart["superseded"] else chart["verdict"]
    return f"Chart {chart['chart']} {visible(chart['name'])}: {verdict}"


def _standing(step: Object) -> int:
    return sum(
        not reading["superseded"]
        for requirement in step["requirements"]
        for reading in requirement["readings"]
    )
