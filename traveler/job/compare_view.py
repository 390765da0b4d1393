"""A comparison as one object of words and numbers, for the commands: what changed, how, and because of what."""

from typing import Any

from traveler.job.compare import Comparison, Difference, Reason
from traveler.job.compare_facts import (
    ASKED,
    AT_LEAST,
    AT_MOST,
    CAUTION,
    CONFLICT,
    DETERMINED,
    NONE,
    NOTE,
    POINT,
    STEP,
    Fact,
    Said,
)
from traveler.job.compare_inputs import Input
from traveler.job.quantity_act import quantity_to_act

Json = dict[str, Any]
_SENTENCES = (CONFLICT, NOTE, CAUTION, POINT)
_VERBS = {
    "stricter": {AT_LEAST: "rises", AT_MOST: "falls"},
    "less strict": {AT_LEAST: "falls", AT_MOST: "rises"},
}


def comparison_object(comparison: Comparison, rules: str) -> Json:
    """``rules``: in words, by which program each side was planned. Everything else is in ``comparison``."""
    without = comparison.without_effect()
    return {
        "stricter": comparison.stricter,
        "changed": [_input(item, item not in without) for item in comparison.inputs],
        "differences": [_difference(item, rules) for item in comparison.differences],
    }


def _input(item: Input, has_effect: bool) -> Json:
    return {"what": item.what, "was": item.was, "now": item.now, "has_effect": has_effect}


def _difference(item: Difference, rules: str) -> Json:
    fact = item.fact
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
        "says": f"{_what(item)}, because {because_words(item.reason, rules)}",
    }


def because_words(reason: Reason, rules: str) -> str:
    """The reason as the end of a sentence."""
    inputs = [item.words for item in reason.inputs]
    if not inputs:
        return rules if reason.rules else "the sheets differ"
    if reason.how == "either":
        words = f"{inputs[0]}; or {', or '.join(inputs[1:])}: each by itself would do it"
    elif len(inputs) > 1:
        alone = reason.by_itself or (None,) * len(inputs)
        said = [
            f"{item} (by itself {of_it})" if of_it else item
            for item, of_it in zip(inputs, alone, strict=True)
        ]
        words = f"of these together: {'; '.join(said)}"
    else:
        words = inputs[0]
    return f"{words}; besides, {rules}" if reason.rules else words


def _what(item: Difference) -> str:
    """Where and what, up to the reason."""
    fact = item.fact
    where = " ".join(filter(None, (_step(item), fact.quantity and _quantity(fact))))
    return f"{where}: {_change(item)}" if where else _change(item)


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
    verb = _VERBS.get(item.direction, {}).get(aspect)
    if verb is None:
        return f"{aspect}: {now.words}, was {was.words}"
    return f"the {aspect} {verb} from {was.words} to {now.words}"


def _came_or_went(aspect: str, was: Said | None, now: Said | None) -> str:
    if aspect == STEP:
        return "this step is new" if now else "this step is no longer there"
    if aspect == ASKED and now is not None:
        return f"is asked for, it was not ({now.words})"
    if aspect == ASKED:
        return f"is no longer asked for ({was.words if was else ''})"
    return f"the {aspect} is {now.words if now else NONE}, was {was.words if was else NONE}"


def _quoted(text: str) -> str:
    return f'"{text}"'
