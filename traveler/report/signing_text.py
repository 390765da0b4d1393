"""What somebody is about to sign, as it is shown before their secret is asked."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from traveler.report.lines import joined, wrapped
from traveler.report.outside_words import last_standing, outside_lines
from traveler.report.requirement_words import limit_words, verdict_words
from traveler.report.words import count_words, signature_words, visible

Json = Mapping[str, Any]

STEP_MEANINGS = {"performed": "was performed as written", "accepted": "complies and is accepted"}


def step_shown(traveler: Json, step: Json, what: str, who: str) -> str:
    """One step: each limit with its verdict, how many readings show it and with what, and what stands against it."""
    sending = last_standing(step)
    by_vendor = f"was performed by {visible(sending['vendor'])}" if sending else STEP_MEANINGS["performed"]
    meaning = by_vendor if what == "performed" else STEP_MEANINGS.get(what, what)
    lines = [
        "",
        *wrapped(
            f"{visible(who)} signs that step {step['number']} of job {visible(traveler['job'])}, "
            f"revision {traveler['revision']}, {meaning}:"
        ),
        *wrapped(f"{visible(step['kind'])}: {visible(step['title'])}", indent="  "),
    ]
    for requirement in step["requirements"]:
        lines += wrapped(_requirement(requirement), indent="  ")
        for text in _readings(requirement):
            lines += wrapped(text, indent="    ")
    for chart in step.get("charts") or ():
        struck = ", superseded" if chart["superseded"] else ""
        lines += wrapped(
            f"chart {chart['chart']} {visible(chart['name'])}: {chart['verdict']}{struck}", indent="  "
        )
    for text in _away(traveler, step):
        lines += wrapped(text, indent="  ")
    for signature in step["performed"]:
        lines += wrapped(f"performed: {signature_words(signature)}", indent="  ")
    # What happened is signed whatever it was; only an acceptance says that it complies.
    for reason in step["blocked_by"] if what != "performed" else ():
        lines += wrapped(f"stands against it: {visible(reason)}", indent="  ")
    return joined([*lines, f"  content {step['content']}"])


def _away(traveler: Json, step: Json) -> Iterator[str]:
    """What of the step is a vendor's, and the files that are kept with it."""
    yield from map(str.strip, outside_lines(step))
    for file in traveler["attachments"] if step.get("sendings") else ():
        if file["step"] == step["number"]:
            yield f"file {visible(file['name'])}, {visible(file['as'])}: SHA-256 {visible(file['sha256'])}"


def job_shown(traveler: Json, what: str, who: str) -> str:
    """A whole job: the state of each step, the exceptions that a reader meets first, and the code of its record."""
    lines = wrapped(
        f"{visible(who)} signs that job {visible(traveler['job'])}, {visible(traveler['title'])}, is {what}:"
    )
    for step in traveler["steps"]:
        lines += wrapped(
            f"step {step['number']}, {visible(step['kind'])}: {visible(step['state'])}", indent="  "
        )
    for text in traveler["exceptions"]:
        lines += wrapped(f"exception: {visible(text)}", indent="  ")
    code = f"  code {visible(traveler['head'])}, {count_words(traveler['events'], 'event')}"
    return joined(["", *lines, code])


def plan_shown(plan: Json) -> str:
    """A traveler that is to be released: its steps with their limits, and what is not settled about it."""
    lines = wrapped(f"traveler of job {visible(plan['job'])}, {visible(plan['title'])}")
    for step in plan["steps"]:
        lines += wrapped(
            f"step {step['number']}, {visible(step['kind'])}: {visible(step['title'])}", indent="  "
        )
        lines += _limits(step["requirements"])
    for text in plan["conflicts"]:
        lines += wrapped(f"conflict: {visible(text)}", indent="  ")
    return joined(lines)


def _limits(requirements: Sequence[Json]) -> Iterator[str]:
    for requirement in requirements:
        yield from wrapped(f"{visible(requirement['quantity'])}: {limit_words(requirement)}", indent="    ")


def _requirement(requirement: Json) -> str:
    return f"{visible(requirement['quantity'])}, {limit_words(requirement)}: {verdict_words(requirement)}"


def _readings(requirement: Json) -> Iterator[str]:
    """Those that stand, each by its value; of the others how many there are."""
    standing = [reading for reading in requirement["readings"] if not reading["superseded"]]
    struck = len(requirement["readings"]) - len(standing)
    if not standing:
        yield "no reading" + (f", {struck} superseded" if struck else "")
        return
    yield count_words(len(standing), "reading") + (f", {struck} superseded" if struck else "")
    for reading in standing:
        place = f" at {visible(reading['place'])}" if reading["place"] else ""
        earlier = reading["attempt"] < requirement.get("attempts", 1)
        attempt = f", attempt {reading['attempt']}, counts no more" if earlier else ""
        yield f"{visible(reading['shown'])}{place}{_taken_with(reading)}: {reading['verdict']}{attempt}"


def _taken_with(reading: Json) -> str:
    """The instrument as it stood when it was read."""
    kept = reading.get("instrument_state")
    if not kept:
        return f", {visible(reading['instrument'])}" if reading["instrument"] else ""
    due = f" until {kept['due']}" if kept.get("due") and kept["state"] == "in calibration" else ""
    return f", {visible(kept['instrument'])} {visible(kept['name'])} ({visible(kept['state'])}{due})"
