"""What is said of work given to vendors, alike on every kind of export."""

from collections.abc import Iterable, Iterator

from traveler.report.lines import joined, wrapped
from traveler.report.words import Object, count_words, moment_words, person, visible

STATES = {
    "at vendor": "AT THE VENDOR",
    "received": "back, its certificate not reviewed",
    "accepted": "back, its certificate accepted",
    "not accepted": "back, its certificate NOT ACCEPTED",
    "called off": "called off",
}


def planned_outside_words(step: Object) -> str:
    """To whom the sheet gives the work of a step; empty where it is done here."""
    planned = step.get("outside")
    if not planned:
        return ""
    order = f", order {visible(planned['order'])}" if planned["order"] else ""
    return f"Done by a vendor: {visible(planned['vendor'])}{order}{_papers(planned)}"


def _papers(entry: Object) -> str:
    papers = ", ".join(map(visible, entry["returns"]))
    return f"; papers that come back: {papers}" if papers else ""


def sending_title(sending: Object) -> str:
    """ "Sent to Alder Heat Treating, order 4471: AT THE VENDOR"."""
    order = f", order {visible(sending['order'])}" if sending["order"] else ""
    return f"Sent to {visible(sending['vendor'])}{order}: {STATES[sending['state']]}"


def sending_lines(sending: Object) -> Iterator[str]:
    """What went out on what terms, then everything that came of it, in order."""
    yield f"Sent: {sent_words(sending)}"
    yield from (f"Received: {receipt_words(receipt)}" for receipt in sending["receipts"])
    yield from (f"Certificate {review_words(review)}" for review in sending["reviews"])
    if sending["wrong_count"]:
        yield f"Count: {visible(sending['wrong_count'])}"
    if sending["called_off"]:
        yield f"Called off: {_called_off(sending)}"


def sent_words(sending: Object) -> str:
    """What went out, with what, for what papers, until when, by whom and when."""
    along = f" with {visible(sending['requirement'])}" if sending["requirement"] else ""
    expected = f"; expected on {sending['expected']}" if sending["expected"] else ""
    return (
        f"{count_words(sending['pieces'], 'piece')}, {visible(sending['what'])}, under revision {sending['revision']} "
        f"of the traveler{along}{_papers(sending)}{expected}; {_who(sending)}"
    )


def receipt_words(receipt: Object) -> str:
    """What came back and how it was found."""
    damage = f"; damage: {visible(receipt['damage'])}" if receipt["damage"] else ""
    return (
        f"{count_words(receipt['pieces'], 'piece')}; condition: {visible(receipt['condition'])}{damage}; "
        f"heat number {visible(receipt['heat_number'])}; {_who(receipt)}"
    )


def review_words(review: Object) -> str:
    """What came of looking at the papers, which they were, and what was held against what."""
    files = ", ".join(
        f"{visible(file['name'])} SHA-256 {visible(file['sha256'])}" for file in review["files"]
    )
    missing = f"; missing: {', '.join(map(visible, review['missing']))}" if review["missing"] else ""
    because = f"; {visible(review['because'])}" if review["because"] else ""
    return (
        f"{visible(review['result'])}: {visible(review['held_against'])}; files: {files or 'none'}"
        f"{missing}{because}; {_who(review)}"
    )


def outside_lines(step: Object) -> Iterator[str]:
    """What of a step is a vendor's: the plan, then each sending; nothing of a step of this shop alone."""
    if planned := planned_outside_words(step):
        yield planned
    for sending in step.get("sendings") or ():
        yield sending_title(sending)
        yield from (f"  {line}" for line in sending_lines(sending))


def outside_line(step: Object) -> list[str]:
    """Where the work of a step stands that is a vendor's, on one line; nothing without any."""
    sendings = step.get("sendings") or ()
    if sendings:
        return [sending_title(sendings[-1])]
    return list(filter(None, [planned_outside_words(step).partition(";")[0]]))


def last_standing(step: Object) -> Object | None:
    """The latest sending of a step that was not called off."""
    standing = [sending for sending in step.get("sendings") or () if sending["state"] != "called off"]
    return standing[-1] if standing else None


def outside_text(traveler: Object) -> str:
    """All of a job that is given to vendors, step by step."""
    lines: list[str] = []
    for step in traveler["steps"]:
        told = list(outside_lines(step))
        if told:
            lines += wrapped(f"STEP {step['number']}, {visible(step['kind'])}: {visible(step['title'])}")
            lines += _folded(told)
    return joined(lines or ["No work of this job is given to a vendor."])


def outside_rows(traveler: Object) -> list[list[str]]:
    """Step, vendor and where it stands, what went out, what came back, the certificate: a row a sending."""
    return [
        [
            f"{step['number']} {visible(step['kind'])}",
            sending_title(sending),
            sent_words(sending),
            "; ".join(_back(sending)) or "nothing is back",
            "; ".join(map(review_words, sending["reviews"])) or "not reviewed",
        ]
        for step in traveler["steps"]
        for sending in step.get("sendings") or ()
    ]


def _back(sending: Object) -> Iterator[str]:
    yield from map(receipt_words, sending["receipts"])
    if sending["wrong_count"]:
        yield visible(sending["wrong_count"])
    if sending["called_off"]:
        yield f"called off: {_called_off(sending)}"


def _called_off(sending: Object) -> str:
    return f"{visible(sending['called_off']['because'])}; {_who(sending['called_off'])}"


def _who(entry: Object) -> str:
    return f"{person(entry['by'])}, {moment_words(entry)}"


def _folded(texts: Iterable[str]) -> Iterable[str]:
    for text in texts:
        inner = len(text) - len(text.lstrip(" "))
        yield from wrapped(text.lstrip(" "), indent=" " * (2 + inner))
