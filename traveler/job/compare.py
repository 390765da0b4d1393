"""A new sheet beside a job that was done: what is asked otherwise, and which input of the sheet makes it so.

No reason is guessed: each is the answer of the planner to the old sheet with that one input changed, or, where no
single one gives the new limit, with the fewest that together do.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any, Literal

from traveler.errors import BadSheet
from traveler.job.as_built import DIMENSION
from traveler.job.compare_facts import (
    ASKED,
    AT_LEAST,
    AT_MOST,
    AT_VENDOR,
    CONFLICT,
    DETERMINED,
    EACH_RUN,
    GOOD_FOR,
    POINT,
    READINGS,
    SET_BY,
    STEP,
    WAIT,
    Fact,
    Said,
    facts,
)
from traveler.job.compare_inputs import Input, between, inputs_between
from traveler.job.requirement import Plan

Direction = Literal["stricter", "less strict", "changed"]
How = Literal["alone", "either", "together"]
Facts = dict[Fact, Said]
PlanOf = Callable[[dict[str, Any]], Plan]
"""The plan of the tables of a sheet; raises BadSheet where they are none."""

_NUMBER = re.compile(r"[0-9]+(?:[.,/][0-9]+)*")
_RISING_IS_STRICTER = {
    AT_LEAST: True,
    AT_MOST: False,
    READINGS: True,
    EACH_RUN: True,
    WAIT: True,
    GOOD_FOR: False,
}
LIMITS = (AT_LEAST, AT_MOST)
_COMING_IS_STRICTER = (STEP, ASKED, CONFLICT, POINT, AT_VENDOR)


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a fact changed. ``rules``: the planner's own rules changed since the old job was planned, alone or besides.

    ``inputs``: of the sheet; any one of them would do where ``how`` is "either", all are needed where "together".
    ``by_itself``: of a limit that takes several together, what each of them alone would make of it, in words; None
    where a sheet with that one alone cannot be.
    """

    inputs: tuple[Input, ...]
    how: How
    rules: bool
    by_itself: tuple[str | None, ...] = ()


@dataclass(frozen=True, slots=True)
class Difference:
    """A fact that is not as it was; ``was`` or ``now`` None where it is not there at all."""

    fact: Fact
    was: Said | None
    now: Said | None
    direction: Direction
    reason: Reason


@dataclass(frozen=True, slots=True)
class Comparison:
    """Every difference with its reason, and every input that the new sheet changes, with effect or without.

    ``stays``: the minima of preheat that do not differ, each with the method that sets it, in words.
    """

    inputs: tuple[Input, ...]
    differences: tuple[Difference, ...]
    stays: tuple[tuple[Fact, Said, str], ...] = ()

    @property
    def stricter(self) -> bool:
        """Something is asked for that what served before might not meet."""
        return any(difference.direction == "stricter" for difference in self.differences)

    def without_effect(self) -> tuple[Input, ...]:
        """Inputs that were changed and make no difference."""
        named = [item for difference in self.differences for item in difference.reason.inputs]
        return tuple(item for item in self.inputs if item not in named)


def compare(done: Plan, old: dict[str, Any], new: dict[str, Any], plan_of: PlanOf) -> Comparison:
    """``done`` is the plan that the job was worked to, ``old`` the tables of its sheet, ``new`` those of the new one.

    Raises BadSheet where either sheet cannot be planned by the rules of today.
    """
    between_them = _Between(old, new, plan_of)
    before, after = facts(done), between_them.all_changed
    differences = []
    reworded = _reworded(before, after)
    for fact in dict.fromkeys((*before, *after)):
        was, now = before.get(fact), after.get(fact)
        if (
            not _same(was, now)
            and not _told_by_another(fact, before, after)
            and fact not in reworded.values()
        ):
            reason, direction = between_them.reason(fact, was, now), _direction(fact, was, now)
            was = before[reworded[fact]] if fact in reworded else was
            differences.append(Difference(fact, was, now, direction, reason))
    ordered = tuple(sorted(differences, key=_number))
    return Comparison(between_them.inputs, ordered, tuple(_stays(before, after)))


def _stays(before: Facts, after: Facts) -> Iterator[tuple[Fact, Said, str]]:
    for fact, now in after.items():
        method = after.get(replace(fact, aspect=SET_BY))
        if fact.aspect == AT_LEAST and method is not None and _same(before.get(fact), now):
            yield fact, now, method.words


def _number(difference: Difference) -> int:
    """Of its step; what is said of the job as a whole comes first."""
    said = difference.now or difference.was
    return 0 if said is None else said.number or 0


def moved_windows(differences: Iterable[Difference]) -> dict[Fact, tuple[Difference, Difference]]:
    """Of each dimension both of whose bounds moved the same way for the same reason, the lower and the upper one, by
    either: it is another size, and neither stricter nor less strict. A temperature is not told so: there both count.
    """
    found: dict[Fact, tuple[Difference, Difference]] = {}
    bounds = {item.fact: item for item in differences if (item.fact.quantity or "").startswith(DIMENSION)}
    for fact, low in bounds.items():
        other = replace(fact, aspect=AT_MOST)
        high = bounds.get(other) if fact.aspect == AT_LEAST else None
        if high is not None and high.reason == low.reason and high.direction != low.direction:
            found[fact] = found[other] = (low, high)
    return found


class _Between:
    """The plans between two sheets, each worked out once."""

    def __init__(self, old: dict[str, Any], new: dict[str, Any], plan_of: PlanOf) -> None:
        self._old, self._new, self._plan_of = old, new, plan_of
        self.inputs = inputs_between(old, new)
        self._known: dict[frozenset[int], Facts | None] = {}
        everything = frozenset(range(len(self.inputs)))
        self._known[frozenset()] = facts(plan_of(old))
        self._known[everything] = self.all_changed = facts(plan_of(new))

    def reason(self, fact: Fact, was: Said | None, now: Said | None) -> Reason:
        """The rules alone; or each single input that gives what is now; or the fewest that do."""
        rules = not self._gives(frozenset(), fact, was)
        if rules and self._gives(frozenset(), fact, now):
            return Reason((), "alone", rules)
        every = range(len(self.inputs))
        singles = [place for place in every if self._gives(frozenset((place,)), fact, now)]
        if singles:
            return Reason(self._named(singles), "alone" if len(singles) == 1 else "either", rules)
        fewest = self._fewest(fact, now)
        by_itself = tuple(self._alone(place, fact) for place in fewest) if fact.aspect in LIMITS else ()
        return Reason(self._named(fewest), "together", rules, by_itself)

    def _alone(self, place: int, fact: Fact) -> str | None:
        said = self._said(frozenset((place,)), fact)
        return None if said is None else said.words

    def _said(self, chosen: frozenset[int], fact: Fact) -> Said | None:
        found = self._facts(chosen)
        return None if found is None else found.get(fact)

    def _fewest(self, fact: Fact, now: Said | None) -> list[int]:
        """No input can be taken from these without losing what is now."""
        needed = frozenset(range(len(self.inputs)))
        before = self._said(frozenset(), fact)
        # Those that do something by themselves are mostly all of them, and are planned already.
        doing = frozenset(p for p in needed if not self._gives(frozenset((p,)), fact, before))
        if self._gives(doing, fact, now):
            needed = doing
        last: frozenset[int] = frozenset()
        while last != needed:
            # What another one needed (the metal that a member is made of) can go once that one has gone.
            last = needed
            for place in sorted(needed):
                if self._gives(needed - {place}, fact, now):
                    needed -= {place}
        return sorted(needed)

    def _gives(self, chosen: frozenset[int], fact: Fact, said: Said | None) -> bool:
        found = self._facts(chosen)
        return found is not None and _same(found.get(fact), said)

    def _facts(self, chosen: frozenset[int]) -> Facts | None:
        """None where the sheet in between says something that cannot be: it explains nothing."""
        if chosen not in self._known:
            tables = between(self._old, self._new, self.inputs, self._named(sorted(chosen)))
            try:
                self._known[chosen] = facts(self._plan_of(tables))
            except BadSheet:
                self._known[chosen] = None
        return self._known[chosen]

    def _named(self, places: list[int]) -> tuple[Input, ...]:
        return tuple(self.inputs[place] for place in places)


def _same(was: Said | None, now: Said | None) -> bool:
    """By value: the same limit out of another unit is no difference."""
    if was is None or now is None:
        return was is now
    return was.value == now.value


def _told_by_another(fact: Fact, before: Facts, after: Facts) -> bool:
    """A step that came brings all that it asks for; to say that it came is enough. So with a requirement."""
    return any(above != fact and (above in before) != (above in after) for above in _above(fact))


def _reworded(before: Facts, after: Facts) -> dict[Fact, Fact]:
    """Of sentences that are new those that take the place of one that is gone: the same but for its numbers, or with
    more behind it."""
    gone = [fact for fact in before if fact.text and fact not in after]
    found: dict[Fact, Fact] = {}
    for fact in after:
        if not fact.text or fact in before:
            continue
        for old in gone:
            same = replace(fact, text="") == replace(old, text="")
            if same and (fact.text.startswith(old.text) or _without_numbers(fact) == _without_numbers(old)):
                found[fact] = old
                gone.remove(old)
                break
    return found


def _without_numbers(fact: Fact) -> str:
    return _NUMBER.sub("0", fact.text)


def _above(fact: Fact) -> Iterator[Fact]:
    if fact.step is not None:
        yield Fact(fact.step, None, None, STEP)
    if fact.quantity is not None:
        yield Fact(fact.step, fact.quantity, fact.joint, ASKED)


def _direction(fact: Fact, was: Said | None, now: Said | None) -> Direction:
    if was is None or now is None:
        if fact.aspect not in _COMING_IS_STRICTER:
            return "changed"
        return "stricter" if was is None else "less strict"
    if fact.aspect == DETERMINED:
        return "less strict" if now.value else "stricter"
    if fact.aspect not in _RISING_IS_STRICTER:
        return "changed"
    return _by_size(was.value, now.value, rising_is_stricter=_RISING_IS_STRICTER[fact.aspect])


def _by_size(was: Any, now: Any, *, rising_is_stricter: bool) -> Direction:
    """None is no limit at all, and any limit is stricter than none."""
    if was is None or now is None:
        return "stricter" if was is None else "less strict"
    if isinstance(was, tuple) and was[1] != now[1]:
        return "changed"
    return "stricter" if (now > was) == rising_is_stricter else "less strict"
