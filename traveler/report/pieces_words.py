"""The pieces of a job in words: how they add up, where they went, what they came from and what they are made of."""

from collections.abc import Iterator
from dataclasses import dataclass

from traveler.report.words import Object, count_words, moment_words, person, visible


@dataclass(frozen=True, slots=True)
class Said:
    """One thing that is said of pieces: in a word what it is about, and its lines; of a component the job it is."""

    about: str
    lines: tuple[str, ...]
    component: str | None = None


def pieces_lines(obj: Object) -> list[str]:
    """A line for each thing there is to say, what belongs to it below and further in."""
    return [
        line if at == 0 else f"  {line}" for said in pieces_said(obj) for at, line in enumerate(said.lines)
    ]


def pieces_said(obj: Object) -> list[Said]:
    """Everything that is said of pieces; nothing for a single one that came from nowhere and went nowhere."""
    found = obj.get("pieces")
    if not found:
        return []
    all_said = [Said("pieces", (visible(found["balance"]),))]
    if found["serials"]:
        all_said.append(Said("serials", (f"Serials here: {_serials(found['serials'])}",)))
    all_said += [Said("from", (_came_from(origin),)) for origin in found["came_from"]]
    all_said += [Said(gone["way"], (_gone(gone),)) for gone in found["gone"]]
    all_said += [Said("used", (_use(use),)) for use in found["used_in"]]
    all_said += [Said("component", tuple(_component(part)), part["job"]) for part in found["components"]]
    return [*all_said, *(Said("held", (f"Held: {visible(what)}",)) for what in found["held_by"])]


def _came_from(origin: Object) -> str:
    accepted = ", ".join(
        f"{step['step']} (revision {step['revision']}, event {step['event']})" for step in origin["accepted"]
    )
    steps = f"accepted there by then: step {accepted}" if accepted else "no step was accepted there by then"
    return (
        f"Split off: {_pieces(origin)} from {visible(origin['job'])}, revision {origin['revision']}, at its event "
        f"{origin['events']}, code {visible(origin['code'])}; {_who(origin)}, because {visible(origin['because'])}; "
        f"{steps}"
    )


def _gone(gone: Object) -> str:
    into = f" into {visible(gone['job'])}" if gone["job"] else ""
    by = f", nonconformance {gone['nonconformance']}" if gone["nonconformance"] else ""
    return f"{gone['way'].capitalize()}{into}: {_pieces(gone)}{by}; {_who(gone)}, because {visible(gone['because'])}"


def _use(use: Object) -> str:
    return f"In assembly {visible(use['job'])}, step {use['step']}: {_pieces(use)}; {_who(use)}"


def _component(part: Object) -> Iterator[str]:
    named = f" ({visible(part['part'])})" if part["part"] else ""
    yield (
        f"Component {visible(part['job'])}{named}, {visible(part['title'])}, at step {part['step']}: {_pieces(part)}; "
        f"revision {part['revision']}, {visible(part['state'])}, code {visible(part['code'])}, "
        f"{count_words(part['events'], 'event')}; {_who(part)}"
    )
    metals = [f"{visible(grade)} heat {visible(heat)}" for _, grade, heat in part["materials"]]
    metals += [f"{visible(filler)} lot {visible(lot)}" for _, filler, lot in part["fillers"]]
    yield f"of {', '.join(metals)}"
    for job, pieces, code in part["components"]:
        yield f"with {count_words(pieces, 'piece')} of {visible(job)} in it, code {visible(code)}"


def _pieces(entry: Object) -> str:
    named = f" ({_serials(entry['serials'])})" if entry["serials"] else ""
    return f"{count_words(entry['pieces'], 'piece')}{named}"


def _serials(serials: list[str]) -> str:
    return ", ".join(map(visible, serials))


def _who(entry: Object) -> str:
    return f"{person(entry['by'])}, {moment_words(entry)}"
