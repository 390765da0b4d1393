"""A comparison as one object of words and numbers, for the commands: what changed, how, and because of what."""

from collections.abc import Iterator
from itertools import groupby
from typing import Any

from traveler.job.compare import Comparison, Difference, Reason, moved_windows
from traveler.job.compare_facts import (
    ANSWERS,
    ANY,
    ASKED,
    AT_LEAST,
    AT_MOST,
    AT_VENDOR,
    CAUTION,
    CONFLICT,
    DETERMINED,
    GOOD_FOR,
    NONE,
    NOTE,
    POINT,
    READINGS,
    SET_BY,
    STEP,
    WAIT,
    Fact,
    Said,
)
from traveler.job.compare_inputs import Input
from traveler.job.quantity_act import quantity_to_act

Json = dict[str, Any]
_SENTENCES = (CONFLICT, NOTE, CAUTION, POINT, AT_VENDOR)
_VERBS = {
    "stricter": {AT_LEAST: "rises", AT_MOST: "falls", WAIT: "rises", READINGS: "rises"},
    "less strict": {AT_LEAST: "falls", AT_MOST: "rises", WAIT: "falls", READINGS: "falls"},
}
_NAMES = {READINGS: "number of readings"}


def comparison_object(comparison: Comparison, rules: str) -> Json:
    """``rules``: in words, by which program each side was planned. Everything else is in ``comparison``."""
    without = comparison.without_effect()
    unmoved = comparison.stays if any(item.element or item.heats for item in without) else ()
    moved = moved_windows(comparison.differences)
    return {
        "stricter": comparison.stricter,
        "changed": [_input(item, item not in without) for item in comparison.inputs],
        "differences": [
            {**_difference(item, rules), **_moved(moved.get(item.fact), rules)}
            for item in comparison.differences
        ],
        **({"stays": [_stays(*entry) for entry in unmoved]} if unmoved else {}),
    }


def _stays(fact: Fact, said: Said, method: str) -> str:
    """Why another analysis changes nothing."""
    step = f"step {said.number}, {fact.step[0]}" if fact.step else "the job"
    joint = f" of {fact.joint or _one_joint(fact)}" if fact.joint or _one_joint(fact) else ""
    return f"{step}{joint}: the {fact.aspect} stays at {said.words}; {method} sets it"


def _input(item: Input, has_effect: bool) -> Json:
    remark = {"remark": item.remark} if item.remark else {}
    return {"what": item.what, "was": item.was, "now": item.now, "has_effect": has_effect, **remark}


def _moved(pair: tuple[Difference, Difference] | None, rules: str) -> Json:
    """Both bounds in a sentence, where they moved the same way."""
    if pair is None:
        return {}
    low, _ = pair
    (was_low, now_low), (was_high, now_high) = ((_words(end.was), _words(end.now)) for end in pair)
    change = f"{now_low} to {now_high}, was {was_low} to {was_high}"
    return {"moved": f"{_where(low)}: {change}"}


def _words(said: Said | None) -> str:
    return NONE if said is None else said.words


def _difference(item: Difference, rules: str) -> Json:
    fact, why = item.fact, _why(item, rules)
    return {
        "step": item.now.number if item.now else None,
        "step_was": item.was.number if item.was else None,
        "kind": fact.step[0] if fact.step else None,
        "joint": fact.joint or _one_joint(fact),
        "quantity": fact.quantity,
        "aspect": fact.aspect,
        "was": item.was.words if item.was else None,
        "now": item.now.words if item.now else None,
        "limit_was": quantity_to_act(item.was.limit) if item.was else None,
        "limit_now": quantity_to_act(item.now.limit) if item.now else None,
        "direction": item.direction,
        "because": {
            "how": item.reason.how,
            "rules": item.reason.rules,
            "inputs": [entry.words for entry in item.reason.inputs],
            "by_itself": list(item.reason.by_itself) or None,
        },
        "says": f"{_what(item)}, because {why}" if why else _what(item),
        **({"change": _what(item), "why": why} if why else {}),
    }


def _why(item: Difference, rules: str) -> str:
    """The reason; empty where the change of the sheet says the same once more."""
    inputs = [(entry.was, entry.now) for entry in item.reason.inputs]
    same = item.fact.aspect == ANSWERS and inputs == [(_words(item.was), _words(item.now))]
    return "" if same and not item.reason.rules else because_words(item.reason, rules)


def because_words(reason: Reason, rules: str) -> str:
    """The reason as the end of a sentence."""
    inputs = reason.inputs
    if not inputs:
        return rules if reason.rules else "the sheets differ"
    if reason.how == "either":
        said = [_alone(item) for item in inputs]
        words = f"{said[0]}; or {', or '.join(said[1:])}: each by itself would do it"
    elif len(inputs) > 1:
        same = _same_alone(reason)
        words = (
            f"of these together: {'; '.join(_together(reason))}{f'; each by itself {same}' if same else ''}"
        )
    else:
        words = _alone(inputs[0])
    remarks = dict.fromkeys(item.remark for item in inputs if item.remark)
    return "; ".join([words, *remarks, *([f"besides, {rules}"] if reason.rules else [])])


def _alone(item: Input) -> str:
    return f"{item.words} ({item.heats})" if item.heats else item.words


def _together(reason: Reason) -> Iterator[str]:
    """Elements of one metal stand behind its name and its heats, each with what it would do by itself."""
    alone = reason.by_itself
    if not alone or _same_alone(reason):
        alone = (None,) * len(reason.inputs)
    for of, run in groupby(zip(reason.inputs, alone, strict=True), key=lambda pair: pair[0].of):
        pairs = list(run)
        if not of or len(pairs) == 1:
            yield from (f"{_alone(item)}{_by_itself(of_it)}" for item, of_it in pairs)
            continue
        heats = f" ({pairs[0][0].heats})" if pairs[0][0].heats else ""
        elements = (
            f"{item.element} {item.now} (was {item.was}{f'; by itself {of_it}' if of_it else ''})"
            for item, of_it in pairs
        )
        yield f"in the analysis of {of}{heats} {', '.join(elements)}"


def _same_alone(reason: Reason) -> str:
    """What each input would give by itself, where that is the same of all of them: it is said once."""
    alone = set(reason.by_itself)
    return next(iter(alone)) or "" if len(alone) == 1 else ""


def _by_itself(words: str | None) -> str:
    return f" (by itself {words})" if words else ""


def _what(item: Difference) -> str:
    """Where and what, up to the reason."""
    where = _where(item)
    return f"{where}: {_change(item)}" if where else _change(item)


def _where(item: Difference) -> str:
    fact = item.fact
    return " ".join(filter(None, (_step(item), fact.quantity and _quantity(fact))))


def _step(item: Difference) -> str:
    if item.fact.step is None:
        return ""
    kind, joints, _ = item.fact.step
    said = item.now or item.was
    assert said is not None
    of_joints = f" of {', '.join(joints)}" if joints else ""
    return f"step {said.number}, {kind}{of_joints}" + ("," if item.fact.quantity else "")


def _quantity(fact: Fact) -> str:
    joint = f" of {fact.joint}" if fact.joint and not _one_joint(fact) else ""
    return f"{fact.quantity}{joint}"


def _one_joint(fact: Fact) -> str | None:
    return fact.step[1][0] if fact.step and len(fact.step[1]) == 1 else None


def _change(item: Difference) -> str:
    was, now, aspect = item.was, item.now, item.fact.aspect
    if aspect in _SENTENCES and was and now:
        return f"the {aspect} changes: {_quoted(item.fact.text)}"
    if aspect in _SENTENCES:
        return f"{'new' if now else 'no longer a'} {aspect}: {_quoted(item.fact.text)}"
    if was is None or now is None:
        return _came_or_went(aspect, was, now)
    if aspect == DETERMINED:
        return (
            "the limit is no longer determined"
            if item.direction == "stricter"
            else "the limit is determined now"
        )
    if aspect in (AT_LEAST, AT_MOST) and was.words == NONE:
        return f"there is a {aspect} of {now.words}, where there was none"
    if aspect in (AT_LEAST, AT_MOST) and now.words == NONE:
        return f"there is no {aspect} any more, it was {was.words}"
    if aspect == SET_BY:
        return f"the minimum is set by {now.words}, was by {was.words}"
    if aspect == ANSWERS:
        return _must_read(was.words, now.words)
    if aspect == GOOD_FOR:
        return f"a reading is {_lasts(now)}, it was {_lasts(was)}"
    verb = _VERBS.get(item.direction, {}).get(aspect)
    if verb is None:
        return f"{aspect}: {now.words}, was {was.words}"
    return f"the {_NAMES.get(aspect, aspect)} {verb} from {was.words} to {now.words}"


def _must_read(was: str, now: str) -> str:
    if now == ANY:
        return f"may be any, it had to be {was}"
    return f"must read {now}, {'it could be any' if was == ANY else f'was {was}'}"


def _lasts(said: Said) -> str:
    return "good until the arc" if said.words == NONE else f"good for {said.words}"


def _came_or_went(aspect: str, was: Said | None, now: Said | None) -> str:
    if aspect == STEP:
        return "this step is new" if now else "this step is no longer there"
    if aspect == ASKED and now is not None:
        return f"is asked for now ({now.words}), it was not before"
    if aspect == ASKED:
        return f"is no longer asked for ({was.words if was else ''})"
    return f"the {aspect} is {now.words if now else NONE}, was {was.words if was else NONE}"


def _quoted(text: str) -> str:
    return f'"{text}"'
