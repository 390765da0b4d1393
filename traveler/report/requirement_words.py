"""What is said about one requirement, its methods and its readings, alike on every kind of export."""

from collections.abc import Sequence

from traveler.report.decided_words import taken_with_words
from traveler.report.words import Object, amount, both_degrees, count_words, moment_words, person, visible

NO_LIMIT = "not determined: no governing method gives a limit; the responsible engineer has to settle it"
_ROLES = {"cross-check": "a cross-check", "indicative": "indicative only"}
UNCHANGED = ", as now"
_LESS_STRICT = {"at_least": "asks for less", "at_most": "allows more"}


def limit_words(requirement: Object) -> str:
    """What complies: the limit in both units, or the choice or text asked for."""
    if requirement.get("undetermined"):
        return NO_LIMIT
    shown = requirement.get("shown") or {}
    if shown.get("limit"):
        return visible(shown["limit"])
    if requirement.get("accepts"):
        return _alternatives(requirement["accepts"])
    bounds = [
        f"{words} {amount(requirement[bound], requirement.get('unit'))}"
        for bound, words in (("at_least", "at least"), ("at_most", "at most"))
        if requirement.get(bound) is not None
    ]
    return ", ".join(bounds) or "to be recorded; no limit"


def _alternatives(words: Sequence[object]) -> str:
    return " or ".join(visible(word) for word in words)


def evidence_words(requirement: Object) -> str:
    """What shows that it is kept: how many readings, where, after what wait, with what."""
    evidence = requirement.get("evidence") or {}
    count = evidence.get("readings", 1)
    parts = [count_words(count, "reading") + (" for each run" if evidence.get("per_run") else "")]
    if count > 1:
        parts[0] += " at distinct places"
    if evidence.get("where"):
        parts.append(visible(evidence["where"]))
    if evidence.get("wait_s"):
        parts.append(f"wait {evidence['wait_s']} s on the heated face")
    if evidence.get("instruments"):
        parts.append(f"with {_alternatives(evidence['instruments'])}")
    if evidence.get("good_for_s"):
        parts.append(f"start the arc within about {evidence['good_for_s']} s or read again")
    return "; ".join(parts)


def split_basis(requirement: Object) -> tuple[list[Object], list[Object]]:
    """The methods that rule (those that set a bound, and a rule without a number), and all others."""
    basis = requirement.get("basis") or []
    rules = [entry for bound in ("at_least", "at_most") for entry in _setting(requirement, bound)]
    rules += [
        entry
        for entry in basis
        if entry["bound"] is None and (entry["role"], entry["status"]) == ("governs", "ok")
    ]
    return rules, [entry for entry in basis if entry not in rules]


def _setting(requirement: Object, bound: str) -> list[Object]:
    """The entries that set ``bound``: a method may answer for several members, and the strictest answer rules."""
    method = (requirement.get("governed_by") or {}).get(bound)
    answers = [
        entry
        for entry in requirement.get("basis") or []
        if entry["method"] == method and entry["bound"] == bound and entry["value"] is not None
    ]
    if not answers:
        return []
    strictest = (max if bound == "at_least" else min)(float(entry["value"]) for entry in answers)
    return [entry for entry in answers if float(entry["value"]) == strictest]


def basis_words(requirement: Object, entry: Object, *, governs: bool) -> str:
    """What one method says, for which metal, its standing where it does not govern, and its reasons.

    Empty for a rule that has the requirement's own name and nothing to add to why it is asked.
    """
    reasons = [visible(reason) for reason in entry["reasons"] if reason != requirement["why"]]
    if governs and not reasons and entry["bound"] is None and entry["method"] == requirement["quantity"]:
        return ""
    said = visible(entry["method"])
    if entry["value"] is not None:
        bound = {"at_least": "at least ", "at_most": "at most "}.get(str(entry["bound"]), "")
        said += f": {bound}{_value(entry)}"
    if entry.get("member"):
        said += f" for {visible(entry['member'])}"
    words = ", ".join([said, *standing(entry, governs=governs)])
    return f"{words} ({'; '.join(reasons)})" if reasons else words


def _value(entry: Object) -> str:
    """A method's value: as printed with the other unit beside it, a temperature in both, a band with both its ends."""
    if entry.get("value_to") is not None:
        return f"{amount(entry['value'])} to {amount(entry['value_to'], entry['unit'])}"
    shown = amount(entry["value"], entry["unit"])
    printed = dict(entry.get("working") or ()).get("as printed")
    if printed is not None:
        return f"{visible(printed)} ({shown})"
    return both_degrees(entry["value"]) if entry["unit"] == "degC" else shown


def standing(entry: Object, *, governs: bool) -> list[str]:
    """How a method stands: its role, how far it may be trusted, and why it does not set the limit."""
    role, status = entry["role"], visible(entry["status"])
    if role != "governs":
        return [_ROLES[role]] if status == "ok" else [_ROLES[role], status]
    if status == "ok":
        return [] if governs or entry["bound"] is None else [_LESS_STRICT[entry["bound"]]]
    return [status] if governs or status != "extrapolated" else ["extrapolated, so it does not govern"]


def answer_words(requirement: Object, entry: Object, *, governs: bool) -> str:
    """A method's answer in one line: what it says as in ``basis_words`` with its first reason only, and its mark."""
    first = {**entry, "reasons": entry["reasons"][:1]}
    words = basis_words(requirement, first, governs=governs)
    return f"{words} [{visible(entry.get('mark') or 'no mark')}]" if words else ""


def source_words(entry: Object) -> str:
    """Source, edition and mark of a method."""
    mark = f"[{visible(entry.get('mark') or 'no mark')}]"
    if not entry.get("source"):
        return mark
    edition = f", {visible(entry['edition'])}" if entry.get("edition") else ""
    return f"{visible(entry['source'])}{edition} {mark}"


def working_words(entry: Object) -> str:
    """Inputs and contributions behind a value, one after the other; empty where a method shows none."""
    return "; ".join(f"{visible(words)} {visible(value)}" for words, value in entry.get("working") or ())


def change_words(requirement: Object) -> str:
    """What would change the limit and to what, then what would not; empty where nothing was worked out."""
    changes = [(visible(words), visible(value)) for words, value in requirement.get("would_change") or ()]
    said = [f"{words}: {value}" for words, value in changes if not value.endswith(UNCHANGED)]
    same = [words for words, value in changes if value.endswith(UNCHANGED)]
    return "; ".join([*said, *([f"no change by: {', '.join(same)}"] if same else [])])


def remarks(reading: Object, *, brief: bool = False) -> list[str]:
    """What must stand beside a reading: that it was superseded and why, that it was written later, its lot.

    Unless ``brief`` also why it is no evidence or no sure one, by what took it; a chart says that for itself.
    """
    found = []
    reason = f": {visible(reading['reason'])}" if reading.get("reason") else ""
    if reading.get("superseded_by") is not None:
        found.append(f"superseded by reading {reading['superseded_by']}{reason}")
    elif reading.get("superseded"):
        found.append(f"retracted{reason}")
    elif reason:
        found.append(f"reason{reason}")
    if reading.get("read_again"):
        found.append("read again before the run")
    if origin := reading.get("from"):
        found.append(f"read on {visible(origin['job'])}")
    if reading.get("late"):
        found.append("late entry")
    if reading.get("let_stand_by"):
        found.append(f"let stand by nonconformance {reading['let_stand_by']}")
    if reading.get("lot"):
        found.append(f"lot {visible(reading['lot']['lot'])}")
    unsure = reading.get("verdict") in ("not shown", "conditional") and not reading.get("superseded")
    if unsure and reading.get("verdict_reason") and reading.get("chart") is None and not brief:
        found.append(visible(reading["verdict_reason"]))
    return found


def verdict_words(requirement: Object) -> str:
    """Verdict and reason in one sentence without a full stop; empty for a plan, which has no verdicts."""
    verdict = requirement.get("verdict")
    if not verdict:
        return ""
    said = [visible(requirement[key]) for key in ("verdict_reason", "settled") if requirement.get(key)]
    return f"{verdict}: {'; '.join(said)}" if said else str(verdict)


def value_words(reading: Object) -> str:
    """The value for people, in both units."""
    return visible(reading.get("shown") or reading["typed"])


def reading_words(reading: Object, *, attempts: bool, brief: bool) -> str:
    """One reading on one line; ``attempts`` names the attempt, ``brief`` leaves out who and when.

    A superseded reading says so before its value, and shows no verdict: it no longer counts.
    """
    remark = remarks(reading, brief=brief)
    words = f"Reading {reading['reading']}"
    if reading.get("superseded"):
        words += f" ({remark.pop(0)})"
    facts = [f"{words}: {value_words(reading)}"]
    if not reading.get("superseded"):
        facts.append(visible(reading["verdict"]))
    if reading.get("run") is not None:
        facts.append(f"run {reading['run']}")
    if attempts:
        facts.append(f"attempt {reading['attempt']}")
    facts += [words for words in (visible(reading.get("place") or ""), taken_with_words(reading)) if words]
    if not brief:
        facts += [person(reading["by"]), moment_words(reading)]
    return "; ".join(facts + remark)


def other_blockers(step: Object) -> list[str]:
    """What blocks a step beyond the verdicts that stand beside its requirements anyway."""
    said = [requirement.get("verdict_reason") for requirement in step["requirements"]]
    shown = tuple(reason for reason in said if reason)
    return [reason for reason in step["blocked_by"] if not (shown and reason.endswith(shown))]
