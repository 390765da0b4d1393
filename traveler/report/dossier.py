"""What makes the printed sheets a dossier: its statement, the rules applied, certificates, files, how to check it."""

from collections.abc import Mapping

from traveler.report.requirement_words import source_words, split_basis
from traveler.report.words import NO_CLAIM, VERDICTS, Object, count_words, moment_words, person, visible

RECORD = "traveler.json"
"""Name of the JSON export inside the PDF."""

Inside = Mapping[str, str]
"""Names that files have inside the PDF, by their SHA-256."""

_NOT_INSIDE = "not in this PDF; a packet of the job has it"


def statement(obj: Object) -> list[str]:
    """What was done, counted, and by whose rules; it claims nothing beyond that."""
    steps = obj["steps"]
    accepted = [step for step in steps if step["state"] == "accepted"]
    readings = [reading for step in steps for need in step["requirements"] for reading in need["readings"]]
    back = sum(1 for reading in readings if reading["superseded"])
    charts = sum(len(step.get("charts") or ()) for step in steps)
    part = f"part {visible(obj['part'])}" if obj.get("part") else "a part that is not named"
    route = ", ".join(dict.fromkeys(visible(step["kind"]) for step in steps))
    counts = [
        f"{count_words(len(readings), 'reading')} ({back} of them superseded, printed struck through)",
        *([count_words(charts, "chart")] if charts else []),
        count_words(len(obj["joints"]), "joint"),
        _nonconformances(obj),
        count_words(len(obj["attachments"]), "attached file"),
    ]
    return [
        f"This is what was recorded of job {visible(obj['job'])}, {part}, under revision {obj['revision']} of its "
        f"traveler. Of its {count_words(len(steps), 'step')} ({route}) {len(accepted)} stand accepted. "
        f"{_ended(obj)}",
        f"{_verdicts(obj)} It holds {', '.join(counts)}. "
        "What is out of the ordinary stands on the sheet of exceptions, which is next.",
        f"The limits were worked out by the rules below; {visible(obj['decides'])} answers for them. "
        f"Readings were held against them by this decision rule: {visible(obj['decision_rule'])}.",
        NO_CLAIM,
    ]


def _verdicts(obj: Object) -> str:
    """How many requirements have each verdict, let stand or not."""
    verdicts = [visible(need["verdict"]) for step in obj["steps"] for need in step["requirements"]]
    known = [word for word in VERDICTS if word in verdicts]
    others = sorted(set(verdicts) - set(known))
    said = [f"{verdicts.count(word)} {word}" for word in [*known, *others]]
    return f"Its {count_words(len(verdicts), 'requirement')}: {', '.join(said) or 'none'}."


def _nonconformances(obj: Object) -> str:
    found = obj.get("nonconformances") or ()
    is_open = sum(1 for entry in found if entry["ended"] is None)
    words = count_words(len(found), "nonconformance")
    return f"{words} ({is_open} not closed)" if is_open else words


def _ended(obj: Object) -> str:
    for ending in ("closed", "cancelled"):
        if entry := obj.get(ending):
            return f"The job was {ending} {moment_words(entry)} by {person(entry['by'])}."
    return "The job is not closed."


def rule_rows(obj: Object) -> list[list[str]]:
    """Each method that sets a limit somewhere: its name, its source with edition and mark, the steps it sets one in."""
    found: dict[tuple[str, str], list[str]] = {}
    for step in obj["steps"]:
        for requirement in step["requirements"]:
            for entry in split_basis(requirement)[0]:
                if entry["value"] is None:
                    continue
                steps = found.setdefault((visible(entry["method"]), source_words(entry)), [])
                if str(step["number"]) not in steps:
                    steps.append(str(step["number"]))
    return [[method, source, ", ".join(steps)] for (method, source), steps in found.items()]


def certificate_rows(obj: Object, inside: Inside) -> list[list[str]]:
    """What, heat or batch, kind of certificate, file, SHA-256: materials, fillers, lots, then certificates attached."""
    rows = [
        [
            f"material {visible(entry['id'])}, {visible(entry['grade'])}",
            visible(entry.get("heat number") or "not stated"),
            visible(entry.get("certificate") or "not stated"),
            "as the job sheet states it",
            "",
        ]
        for entry in obj["materials"]
    ]
    rows += [
        [
            f"filler {visible(entry['id'])}, {visible(entry['classification'])}",
            visible(entry.get("lot") or "not stated"),
            visible(entry.get("certificate") or "not stated"),
            "as the job sheet states it",
            "",
        ]
        for entry in obj["fillers"]
    ]
    rows += [_lot_row(entry, inside) for entry in obj.get("lots", ())]
    rows += [
        [
            f"attached at step {entry['step']}",
            "",
            "",
            _file(visible(entry["name"]), entry["sha256"], inside),
            visible(entry["sha256"]),
        ]
        for entry in obj["attachments"]
        if entry["as"] == "certificate"
    ]
    return rows


def _lot_row(entry: Object, inside: Inside) -> list[str]:
    sha256 = entry.get("sha256")
    return [
        f"lot {visible(entry['lot'])}, {visible(entry['name'])}",
        visible(entry["heat"] or "not stated"),
        visible(entry["certificate"] or "not stated"),
        _file(lot_file(entry), sha256, inside) if sha256 else "no file kept",
        visible(sha256 or ""),
    ]


def lot_file(entry: Object) -> str:
    """What the certificate of a lot is called, whose own name the lot does not keep."""
    return f"certificate of lot {visible(entry['lot'])}"


def _file(name: str, sha256: str, inside: Inside) -> str:
    return f"{name}: {_where(sha256, inside)}"


def _where(sha256: str, inside: Inside) -> str:
    return f"in this PDF as {inside[sha256]}" if sha256 in inside else _NOT_INSIDE


def attachment_row(entry: Object, inside: Inside) -> list[str]:
    """Name, what it is, size and place in the PDF, SHA-256, by whom."""
    return [
        visible(entry["name"]),
        f"{visible(entry['as'])}, step {entry['step']}",
        f"{entry['size']} bytes; {_where(entry['sha256'], inside)}",
        visible(entry["sha256"]),
        f"{person(entry['by'])}, {moment_words(entry)}",
    ]


def checking_steps(obj: Object, record_sha256: str | None) -> list[str]:
    """How somebody who trusts nobody checks this dossier, in order."""
    job = visible(obj["job"])
    compare = (
        "Compare the code and the number of events with those noted where nobody of the shop could change them: on a "
        "label, in a letter, on an earlier print. They are the text of the square code too."
    )
    if record_sha256 is None:
        return [f"Ask for the JSON export of job {job}.", f"Run: traveler verify {RECORD}.", compare]
    return [
        f"Save {RECORD} from the files attached to this PDF. Its SHA-256 is {record_sha256}.",
        f"Run: traveler verify {RECORD}. It works the code out of the events again and compares every printed field "
        "with them. Without this program: the packet of the job has a verifier that needs Python alone.",
        compare,
        f"Look whether these sheets say what {RECORD} says. Each file attached to this PDF has the SHA-256 that is "
        "listed with it.",
    ]
