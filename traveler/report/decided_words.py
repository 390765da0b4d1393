"""What is said of people, instruments, lots, points, nonconformances and questions, alike on every kind of export."""

from collections.abc import Iterable, Iterator

from traveler.report.words import Object, amount, count_words, moment_words, person, stamp, visible

CLOSED = ("closed", "void")
CRAYON = "temperature crayon"


def people_cells(entry: Object) -> list[str]:
    """Id, name, roles and other names of somebody whom the job names."""
    others = [visible(name) for name in entry["names"] if name != entry["name"]]
    return [
        visible(entry["person"]),
        visible(entry["name"]),
        ", ".join(map(visible, entry["roles"])) or "no role",
        f"also as {', '.join(others)}" if others else "",
    ]


def instrument_cells(entry: Object) -> list[str]:
    """Id and name, type, how it stood when it was used, calibrated and due, uncertainty, its readings."""
    why = f": {visible(entry['why'])}" if entry.get("why") else ""
    return [
        f"{visible(entry['instrument'])} {visible(entry['name'])}",
        visible(entry["type"]),
        f"{calibration_state(entry)}{why}",
        _calibrated(entry),
        visible(entry["shown"]["uncertainty"] or _unstated(entry)),
        _numbers(entry["readings"]),
    ]


def stated_instrument_rows(obj: Object) -> list[list[str]]:
    """Instruments that readings name in words only, as ``instrument_cells``, and the readings that needed one and name
    none: whoever relies on them is told that nothing is known of their calibration. What a chart shows is told with it.
    """
    readings: dict[str, list[int]] = {}
    for step in obj["steps"]:
        for requirement in step["requirements"]:
            for reading in requirement["readings"]:
                named = reading["instrument"] or ""
                if reading.get("chart") is not None or reading.get("instrument_state") is not None:
                    continue
                if named or requirement["evidence"]["instruments"]:
                    readings.setdefault(named, []).append(reading["reading"])
    return [
        [
            visible(named) or "none named",
            "as stated" if named else "",
            "not in the register",
            "not on record",
            "none stated",
            _numbers(sorted(numbers)),
        ]
        for named, numbers in sorted(readings.items(), key=lambda entry: min(entry[1]))
    ]


def calibration_state(kept: Object) -> str:
    """A temperature crayon is as good as it was made, and is not calibrated."""
    as_made = kept.get("type") == CRAYON and kept["state"] == "in calibration" and not kept["calibrated"]
    return "as made" if as_made else visible(kept["state"])


def _unstated(kept: Object) -> str:
    return "1 % of its mark" if kept.get("type") == CRAYON else "none stated"


def _calibrated(kept: Object) -> str:
    """When and until when, by which certificate, and the number by which the instrument is told from others."""
    serial = f"; serial number {visible(kept['serial'])}" if kept.get("serial") else ""
    if not kept["calibrated"]:
        return f"never{serial}"
    certificate = f", certificate {visible(kept['certificate'])}" if kept.get("certificate") else ""
    return f"{kept['calibrated']}, due {kept['due']}{certificate}{serial}"


def instrument_words(entry: Object) -> str:
    """The same in a sentence."""
    named, kind, state, calibrated, uncertainty, _ = instrument_cells(entry)
    return f"{named}, {kind}: {state}; calibrated {calibrated}; uncertainty {uncertainty}; {_readings(entry)}"


def lot_cells(entry: Object) -> list[str]:
    """Id, what it is, heat or batch, certificate, how it was verified, the readings that name it."""
    of = f", remnant of {visible(entry['remnant_of'])}" if entry["remnant_of"] else ""
    return [
        f"{visible(entry['lot'])}{of}",
        visible(entry["name"]),
        visible(entry["heat"] or "not stated"),
        visible(entry["certificate"] or "not stated"),
        f"by {visible(entry['verified_by'])}" if entry["verified_by"] else "not verified",
        _numbers(entry["readings"]),
    ]


def lot_words(entry: Object) -> str:
    """The same in a sentence."""
    named, name, heat, certificate, verified, _ = lot_cells(entry)
    number = "heat" if entry["what"] == "material" else "batch"
    grade = f"; grade {verified}" if entry["what"] == "material" else ""
    return f"{named}: {name}, {number} {heat}; certificate {certificate}{grade}; {_readings(entry)}"


def point_name(point: Object) -> str:
    """ "Hold 1 (customer)"."""
    return f"{point['kind'].capitalize()} {point['point']} ({visible(point['party'])})"


def planned_point(point: Object) -> str:
    """The same as the plan fixes it, with the notice of a witness point."""
    return ", ".join([point_name(point), *_notice(point)])


def _notice(point: Object) -> list[str]:
    notice = point.get("notice")
    return [f"notice {amount(notice['value'], notice['unit'])}"] if notice else []


def point_state(point: Object) -> str:
    """Where a point stands; of one that is open what it waits for, which begins with its name."""
    waits = point.get("waits_for")
    if not waits:
        return visible(point["state"])
    named = f"{point['kind']} {point['point']} ({point['party']})"
    return visible(waits.removeprefix(named).lstrip(": ").removeprefix("is "))


def point_act_words(act: Object) -> str:
    """What a party did, who, when, with which meaning and why."""
    because = f"; because {visible(act['because'])}" if act["because"] else ""
    notice = f", notice {visible(act['notice_h'])} h" if act["notice_h"] is not None else ""
    who = f"{person(act['by'])}, {moment_words(act)}"
    return f"{visible(act['what'])} by {who}{notice}: {visible(act['meaning'])}{because}"


def point_lines(step: Object) -> Iterator[str]:
    """Each point of a step with what was done at it."""
    for point in step.get("points") or ():
        yield f"{point_name(point)}: {'; '.join([point_state(point), *_notice(point)])}"
        yield from (f"  {point_act_words(act)}" for act in point.get("acts") or ())


def nonconformance_title(entry: Object) -> str:
    """Number, step and state, what it is about."""
    about = [f"step {entry['step']}"]
    about += [visible(entry["quantity"])] if entry["quantity"] else []
    about += [f"joint {visible(entry['joint'])}"] if entry["joint"] else []
    about += [_readings(entry)] if entry["readings"] else []
    disposition = f", {visible(entry['disposition'])}" if entry["disposition"] else ""
    return f"Nonconformance {entry['nonconformance']}, {', '.join(about)}: {visible(entry['state'])}{disposition}"


def nonconformance_lines(entry: Object) -> Iterator[str]:
    """What was found, and everything that was done about it, in order."""
    yield f"Found: {visible(entry['what'])}; {_who(entry)}"
    for proposal in entry["proposals"]:
        yield (
            f"Proposed: {visible(proposal['disposition'])}{_some(proposal)}, {visible(proposal['instruction'])}; "
            f"{_who(proposal)}"
        )
        decision = proposal["decision"]
        if decision is not None:
            word = "Approved" if decision["approved"] else "Refused"
            because = f", because {visible(decision['because'])}" if decision["because"] else ""
            yield f"{word}: {visible(decision['meaning'])}{because}; {_who(decision)}"
    for again in entry["reverified"]:
        result = "complies" if again["complies"] else "does not comply"
        yield f"Looked at again: {visible(again['what'])}, it {result}; {_who(again)}"
    if entry["ended"] is not None:
        yield f"{visible(entry['state']).capitalize()}: {visible(entry['ended']['because'])}; {_who(entry['ended'])}"


def _some(proposal: Object) -> str:
    """How many pieces a disposition gives up."""
    if proposal.get("pieces") is None:
        return ""
    named = f" ({', '.join(map(visible, proposal['serials']))})" if proposal["serials"] else ""
    return f" of {count_words(proposal['pieces'], 'piece')}{named}"


def question_lines(entry: Object) -> Iterator[str]:
    """Readings that were put in question, and the answers."""
    asked = _readings(entry).capitalize()
    yield (
        f"{asked}: {visible(entry['instrument'])} was found out of tolerance, {visible(entry['finding'])}; "
        f"{stamp(entry['recorded_at'])}"
    )
    for answer in entry["answers"]:
        told = f"{_readings(answer)}: {'to stand' if answer['stands'] else 'not to stand'}"
        yield f"  Answered for {told}, {visible(answer['because'])}; {_who(answer)}"
    left = set(entry["readings"]) - {number for answer in entry["answers"] for number in answer["readings"]}
    if left:
        yield f"  Not answered yet: {_readings({'readings': sorted(left)})}"


def not_applicable_words(requirement: Object) -> str:
    """That a requirement does not apply, why, and who says so; empty where it does."""
    said = requirement.get("not_applicable")
    return f"Not applicable: {visible(said['because'])}; {_who(said)}" if said else ""


def taken_with_words(reading: Object) -> str:
    """The instrument of a reading: as it stood where it is registered, else in the words that were typed; and the
    vendor out of whose papers it was taken."""
    said = _taken_with(reading)
    if reading.get("reported_by"):
        return "; ".join(filter(None, [said, f"reported by {visible(reading['reported_by'])}"]))
    return said


def _taken_with(reading: Object) -> str:
    kept = reading.get("instrument_state")
    if not kept:
        return visible(reading.get("instrument") or "")
    chart = f"chart {reading['chart']}, " if reading.get("chart") is not None else ""
    good = kept["state"] == "in calibration" and kept["due"]
    state = f"due {kept['due']}" if good else calibration_state(kept)
    return f"{chart}{visible(kept['instrument'])} {visible(kept['name'])} ({state})"


def _who(entry: Object) -> str:
    return f"{person(entry['by'])}, {moment_words(entry)}"


def _readings(entry: Object) -> str:
    """ "reading 3", "readings 3, 4"."""
    return f"reading{'s' if len(entry['readings']) > 1 else ''} {_numbers(entry['readings'])}"


def _numbers(numbers: Iterable[int]) -> str:
    return ", ".join(map(str, numbers))
