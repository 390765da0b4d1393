"""What the screens say about the registers, as lines of safe text. No widgets here."""

from collections.abc import Sequence
from dataclasses import dataclass

from traveler.report.decided_words import nonconformance_lines, nonconformance_title
from traveler.report.inventory_text import (
    instrument_remarks,
    lot_papers,
    planned_words,
    recorded_words,
    through_words,
)
from traveler.report.people_text import change_words, person_remarks, refused_words, shown_words
from traveler.report.words import Object, count_words, stamp, visible

IN_FULL = {
    "never": "never calibrated",
    "in doubt": "with a grade in doubt",
    "no interval": "without an interval",
}
"""Words that are short beside an entry."""
NAMES_STATED = "nobody: names stand as they are stated"


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a register: its id, the sign and word of how it stands, its lines in the list and in the details.

    ``sign``: "!" needs somebody, "~" to be looked at, "+" good, "-" out of use.
    """

    key: str
    sign: str
    word: str
    lines: tuple[str, ...]
    details: tuple[str, ...]

    @property
    def lead(self) -> str:
        """ "! overdue"."""
        return f"{self.sign} {self.word}".rstrip()

    @property
    def rank(self) -> int:
        """What needs somebody comes first, what is out of use last."""
        return "!~+-".index(self.sign)


def ranked(entries: Sequence[Entry]) -> list[Entry]:
    """Those first that need somebody; else in their order."""
    return sorted(entries, key=lambda entry: entry.rank)


def instrument_entry(entry: Object) -> Entry:
    """An instrument with whether it can be relied on today."""
    sign, word = {
        "in calibration": ("+", "good"),
        "overdue": ("!", "found wrong" if entry["why"] else "overdue"),
        "never calibrated": ("!", "never"),
        "withdrawn": ("-", "withdrawn"),
    }[entry["state"]]
    name = f"{entry['instrument']} {visible(entry['name'])}"
    due = {
        "never calibrated": "never calibrated: what it reads shows nothing",
        "withdrawn": f"withdrawn: {visible(entry['why'])}",
    }.get(entry["state"], f"due {entry['due']}" if entry["due"] else "")
    if entry["state"] == "overdue":
        due = visible(entry["why"]) if entry["why"] else f"was due {entry['due']}"
    serial = f", serial number {visible(entry['serial'])}" if entry["serial"] else ""
    details = (f"{name}, {entry['type']}{serial}: {entry['state']}", *instrument_remarks(entry))
    lines = (f"{name}, {entry['type']}", *([due] if due else []))
    return Entry(entry["instrument"], sign, word, lines, details)


def lot_entry(lot: Object) -> Entry:
    """A lot of material with whether its grade is known, or of filler with how long it may be out."""
    number = {"material": "heat", "filler": "batch"}[lot["what"]]
    heat = f", {number} {visible(lot['heat'])}" if lot["heat"] else f", no {number} number"
    of = f", remnant of {lot['remnant_of']}" if lot["remnant_of"] else ""
    name = f"{lot['lot']} {visible(lot['name'])}{heat}{of}"
    sign, word, said = "+", "received", ""
    if lot["doubt"]:
        sign, word, said = "~", "in doubt", f"the grade {visible(lot['doubt'])}"
    elif lot["over"]:
        sign, word, said = "!", "out too long", f"might be out until {stamp(lot['out_until'])}"
    elif lot["out_until"]:
        word, said = "out", f"may be out until {stamp(lot['out_until'])}"
    rebakes = sum(opening["rebaked"] for opening in lot["openings"])
    said = ", ".join([*([said] if said else []), *([f"rebaked {rebakes} times"] if rebakes > 1 else [])])
    details = [name, *lot_papers(lot)]
    if lot["doubt"]:
        details.append(
            f"the grade {visible(lot['doubt'])}: leave the composition out of the sheet, so that the limits are for "
            "the worst composition of the grade"
        )
    elif lot["verified_by"]:
        details.append(f"verified by {visible(lot['verified_by'])}")
    details.append(f"received {stamp(lot['received_at'])}")
    for opening in lot["openings"]:
        hours = opening["hours_allowed"]
        allowed = f", may be out {hours} h" if hours is not None else ", nothing says how long it may be out"
        details.append(f"{'rebaked' if opening['rebaked'] else 'opened'} {stamp(opening['at'])}{allowed}")
    return Entry(lot["lot"], sign, word, (name, *([said] if said else [])), tuple(details))


def person_entry(person: Object, *, secrets: bool) -> Entry:
    """A person with what stands against their signing; ``secrets``: whether a signature takes one here."""
    sign, word, said = "+", "signs", ""
    if person["disabled"]:
        sign, word = "-", "disabled"
    elif not person["secret"] and secrets:
        sign, word, said = "!", "no secret", "signs nothing until one is set"
    elif not person["secret"]:
        sign, word, said = "~", "as stated", "no secret: anybody can sign by this name"
    elif "owner" in person["roles"] and not person["recovery_code"]:
        sign, word, said = "~", "signs", "an owner without a recovery code"
    roles = ", ".join(person["roles"]) or "no role"
    name = f"{person['person']} {visible(person['name'])}"
    lines = (f"{name}: {roles}", *([said] if said else []))
    details = [*lines]
    if person["former_names"]:
        details.append(f"formerly {', '.join(map(visible, person['former_names']))}")
    if person["recovery_code"]:
        details.append("has a recovery code")
    details.append("Enter: what they may weld, and their history")
    return Entry(person["person"], sign, word, lines, tuple(details))


def setting_entry(setting: Object) -> Entry:
    """A setting with its value."""
    given = visible(setting["value"] or "not set: as the program has it")
    line = f"{setting['setting']}: {given}"
    return Entry(
        setting["setting"],
        "+" if setting["value"] else "-",
        "",
        (line,),
        ("Enter: what it was set to, by whom and when",),
    )


def nonconformance_entry(entry: Object, sign: str) -> Entry:
    """A nonconformance with its job and the last thing that was done about it."""
    found, *since = nonconformance_lines(entry)
    job = f"{visible(entry['job'])}  {visible(entry['title'])}"
    details = (f"{job}: {visible(entry['job_state'])}", nonconformance_title(entry), found, *since)
    lines = (job, nonconformance_title(entry), *([since[-1]] if since else [found]))
    key = f"{entry['nonconformance']} {entry['job']}"
    return Entry(key, sign, entry["state"], lines, details)


def history_lines(entry: Object) -> list[str]:
    """Who entered what and when."""
    return ["", "History", *(f"  {change_words(change)}" for change in entry["history"])]


def person_lines(person: Object) -> list[str]:
    """The whole entry of a person."""
    roles = ", ".join(person["roles"]) or "no role"
    lines = [f"{person['person']} {visible(person['name'])}: {roles}", *person_remarks(person)]
    if person["shown"]:
        lines += ["", "Shown outside the jobs", *(f"  {shown_words(shown)}" for shown in person["shown"])]
    lines += history_lines(person)
    if person["refused"]:
        lines += ["", "Refused", *(f"  {refused_words(refused)}" for refused in person["refused"])]
    return lines


def where_lines(job: Object) -> list[str]:
    """One job in which a heat is: where it is planned, and what was recorded of it."""
    return [
        f"{visible(job['state'])}: {visible(job['title'])}",
        *(planned_words(row, job["revision"]) for row in job["planned"]),
        *(recorded_words(entry) for entry in job["recorded"]),
        *through_words(job),
    ]


def people_brief(people: Sequence[Object]) -> str:
    """The people in a line."""
    if not people:
        return NAMES_STATED
    active = [person for person in people if not person["disabled"]]
    secret = sum(person["secret"] for person in active)
    out = len(people) - len(active)
    words = f"{_count(len(active), 'person', 'people')}, {secret} with a secret"
    return f"{words}, {out} disabled" if out else words


def brief_of(entries: Sequence[Entry], noun: str) -> str:
    """Entries in a line: how many, and of those that need somebody how many of each word."""
    if not entries:
        return "none yet"
    words: dict[str, int] = {}
    for entry in ranked(entries):
        if entry.sign in "!~":
            word = IN_FULL.get(entry.word, entry.word)
            words[word] = words.get(word, 0) + 1
    return ", ".join([count_words(len(entries), noun), *(f"{count} {word}" for word, count in words.items())])


def _count(count: int, one: str, several: str) -> str:
    return f"{count} {one if count == 1 else several}"
