"""The life of a part: states, whichever comes first, the calendar, and that use never makes it less due."""

from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traveler.errors import TravelerError
from traveler.job.part import STATES, against_as_built, months_later, standing, totals
from traveler.job.part_due import parts_due
from traveler.job.part_fold import fold_parts, part_of
from traveler.job.register_fold import fold_register

MADE = date(2026, 1, 31)


@dataclass
class Life:
    """The events of one part of a shop, in the order in which they were entered."""

    events: list[dict[str, Any]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.tell(
            "part registered", MADE, design="RU-3", job="H-014", revision=1, code="AAAA",
            as_built=[{"dimension": "D1", "value": "1.5", "unit": "in"}],
        )  # fmt: skip

    def tell(self, kind: str, on: date, **act: Any) -> "Life":
        seq = len(self.events) + 1
        at = "2026-12-31T08:00:00+01:00"
        self.events.append(
            {"stream": "shop", "seq": seq, "kind": kind, "happened_at": at, "recorded_at": at,
             "by": {"name": "Olga Vance", "how": "stated"}, "act": {"serial": "S-1", "on": on.isoformat(), **act}}
        )  # fmt: skip
        return self

    def every(self, events=None, hours=None, distance=None, months=None) -> "Life":
        act = {"events": events, "hours": size(hours), "distance": size(distance), "months": months}
        return self.tell("part interval set", MADE, because="the owner asks", **act)

    def used(self, on: date, events=None, hours=None, distance=None) -> "Life":
        act = {"events": events, "hours": size(hours), "distance": size(distance)}
        return self.tell("part used", on, what="race", **act)

    def crashed(self, on: date) -> "Life":
        return self.tell("part crashed", on, what="into a wall")

    def found(self, on: date, fit: bool = True) -> "Life":
        return self.tell("part inspected", on, finding="looked at", fit=fit, measured=[])

    def withdrawn(self, on: date) -> "Life":
        return self.tell("part withdrawn", on, because="bent")

    @property
    def part(self):
        return part_of(fold_parts(self.events), "s-1")

    def state(self, today: date = MADE) -> str:
        return standing(self.part, today).state


def size(text):
    return None if text is None else dict(zip(("value", "unit"), text.split(), strict=True))


def day(number: int) -> date:
    return MADE + timedelta(days=number)


STORIES = [
    ("nobody said when", Life(), "no interval set"),
    ("new", Life().every(events=2), "fit"),
    ("one short", Life().every(events=2).used(day(1), events=1), "fit"),
    ("reached", Life().every(events=2).used(day(1), events=2), "inspection due"),
    ("inspected", Life().every(events=2).used(day(1), events=2).found(day(2)), "fit"),
    ("used that day, before", Life().every(events=1).used(day(2), events=1).found(day(2)), "fit"),
    ("used that day, after", Life().every(events=1).found(day(2)).used(day(2), events=1), "inspection due"),
    ("entered late", Life().every(events=1).found(day(2)).used(day(1), events=1), "fit"),
    ("not fit", Life().every(events=9).found(day(2), fit=False), "not fit"),
    ("not fit sets nothing to zero", Life().every(events=1).used(day(1), events=1).found(day(2), False), "not fit"),
    ("repaired", Life().every(events=1).used(day(1), events=1).found(day(2), False).found(day(3)), "fit"),
    ("fit of an earlier day", Life().every(events=9).found(day(3), False).found(day(2)), "not fit"),
    ("crash", Life().every(events=9).crashed(day(1)), "inspect now"),
    ("crash without an interval", Life().crashed(day(1)), "inspect now"),
    ("crash, found fit", Life().every(events=9).crashed(day(1)).found(day(1)), "fit"),
    ("crash, found not fit", Life().every(events=9).crashed(day(1)).found(day(1), False), "not fit"),
    ("crash told after the look", Life().every(events=9).found(day(5)).crashed(day(4)), "inspect now"),
    ("look of before the crash", Life().every(events=9).crashed(day(4)).found(day(3)), "inspect now"),
    ("seen by an earlier look", Life().every(events=9).found(day(9)).crashed(day(4)).found(day(5)), "fit"),
    ("hours not said", Life().used(day(1), events=1).every(hours="9 h"), "not shown"),
    ("said no more than asked", Life().used(day(1), hours="1 h").every(hours="9 h"), "fit"),
    ("withdrawn", Life().every(events=1).crashed(day(1)).withdrawn(day(1)), "withdrawn"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "life", "state"), STORIES, ids=[story[0] for story in STORIES])
def test_the_states(name, life, state):
    assert life.state(day(9)) == state


@pytest.mark.parametrize(
    ("used", "reached"),
    [
        ({"events": 5, "hours": "1 h", "distance": "1 km"}, ["events"]),
        ({"events": 1, "hours": "600 min", "distance": "1 km"}, ["hours"]),
        ({"events": 1, "hours": "599.9 min", "distance": "160.9343 km"}, []),
        ({"events": 1, "hours": "1 h", "distance": "160.9344 km"}, ["distance"]),
        ({"events": 5, "hours": "10 h", "distance": "100 mi"}, ["events", "hours", "distance"]),
    ],
)
def test_whichever_comes_first_exactly(used, reached):
    """A mile is 1609.344 m."""
    life = Life().every(events=5, hours="10 h", distance="100 mi", months=12).used(day(1), **used)
    found = standing(life.part, day(2))
    assert [counter.name for counter in found.counters if counter.reached] == reached
    assert found.state == ("inspection due" if reached else "fit")


@pytest.mark.parametrize(
    ("made", "months", "due"),
    [
        ("2026-01-31", 1, "2026-02-28"),
        ("2028-01-31", 1, "2028-02-29"),
        ("2028-02-29", 12, "2029-02-28"),
        ("2028-02-29", 48, "2032-02-29"),
        ("2026-10-31", 4, "2027-02-28"),
        ("2026-12-15", 1, "2027-01-15"),
        ("2026-05-31", 13, "2027-06-30"),
        ("2026-01-01", 11, "2026-12-01"),
    ],
)
def test_the_calendar(made, months, due):
    assert months_later(date.fromisoformat(made), months) == date.fromisoformat(due)


def test_the_day_on_which_it_is_due_counts():
    life = Life().every(months=1)
    assert life.state(date(2026, 2, 27)) == "fit"
    assert life.state(date(2026, 2, 28)) == "inspection due"
    assert life.found(date(2026, 2, 28)).state(date(2026, 3, 27)) == "fit"
    assert life.state(date(2026, 3, 28)) == "inspection due"


def test_the_totals_run_through_inspections():
    life = Life().used(day(1), events=1, hours="90 min").found(day(2)).used(day(3), events=2, hours="1 h")
    assert [counter.used for counter in totals(life.part)][:2] == ["3 events", "150 min"]
    assert standing(life.part, day(4)).counters[0].used == "2 events"


def test_measured_against_as_built_in_the_unit_that_was_read():
    measured = Life().tell(
        "part inspected", day(1), finding="bent", fit=False,
        measured=[{"dimension": "D1", "value": "38.4", "unit": "mm"}, {"dimension": "D2", "value": "3", "unit": "mm"}],
    ).part  # fmt: skip
    told = [against_as_built(measured, entry) for entry in measured.looks[-1].measured]
    assert told == ["D1 38.4 mm, as built 1.5 in (38.1 mm): +0.3 mm", "D2 3 mm, not measured as built"]


def test_install_remove_and_the_history():
    life = Life().tell("part installed", day(1), car="car 12")
    assert life.part.car == "car 12"
    life.tell("part removed", day(2), because="spare goes on")
    assert (life.part.car, [entry.words for entry in life.part.history]) == (
        None,
        ["made in job H-014", "installed on car 12", "taken off car 12: spare goes on"],
    )


def test_the_register_passes_the_parts_over_and_the_parts_the_register():
    life = Life().crashed(day(1))
    assert fold_register(life.events) == fold_register([])
    other = {**life.events[0], "kind": "setting changed", "act": {"name": "zone", "value": "UTC"}}
    assert fold_parts([other, *life.events]) == fold_parts(life.events)


@pytest.mark.parametrize("kind", ["part registered", "part used"])
def test_events_that_cannot_be(kind):
    life = Life()
    event = dict(life.events[0], kind=kind)
    with pytest.raises(TravelerError, match="cannot stand here"):
        fold_parts([event] if kind == "part used" else [*life.events, event])


AMOUNTS = st.fixed_dictionaries(
    {
        "events": st.none() | st.integers(0, 3),
        "hours": st.none() | st.integers(0, 300).map("{} min".format),
        "distance": st.none() | st.integers(0, 90).map("{} mi".format),
    }
)
HAPPENING = st.one_of(
    st.tuples(st.just("used"), st.integers(0, 40), AMOUNTS),
    st.tuples(st.just("found"), st.integers(0, 40), st.booleans()),
    st.tuples(st.just("crashed"), st.integers(0, 40), st.none()),
)


def lived(happenings) -> Life:
    life = Life().every(events=3, hours="5 h", distance="100 km", months=1)
    for kind, number, detail in happenings:
        if kind == "used":
            life.used(day(number), **detail)
        elif kind == "found":
            life.found(day(number), detail)
        else:
            life.crashed(day(number))
    return life


@given(st.lists(HAPPENING, max_size=8), st.integers(0, 40), AMOUNTS, st.integers(0, 60))
def test_use_and_crash_never_make_it_less_due(before, on, amount, today):
    rank = STATES.index(lived(before).state(day(today)))
    assert STATES.index(lived(before).used(day(on), **amount).state(day(today))) >= rank
    after_crash = lived(before).crashed(day(on)).state(day(today))
    assert STATES.index(after_crash) >= max(rank, STATES.index("inspect now"))


@given(st.lists(HAPPENING, max_size=8), st.integers(0, 60), st.integers(0, 60))
def test_time_never_makes_it_less_due(happenings, today, later):
    life = lived(happenings)
    then = STATES.index(life.state(day(today + later)))
    assert then >= STATES.index(life.state(day(today)))


@given(st.lists(HAPPENING, max_size=8))
def test_a_fit_inspection_of_today_clears_all_but_the_withdrawn(happenings):
    assert lived(happenings).found(day(40)).state(day(40)) == "fit"


NEAREST = [
    (Life(), day(0), None),
    (Life().every(events=10, hours="40 h").used(day(1), events=1, hours="38 h"), day(1), "2 h left of 40 h"),
    (Life().every(events=10, distance="100 mi").used(day(1), events=6, distance="50 mi"), day(1),
     "4 events left of 10 events"),
    (Life().every(events=10, months=1).used(day(1), events=1), day(14), "14 days left until 2026-02-28"),
    (Life().every(events=2, months=1).used(day(1), events=1), day(13), "1 event left of 2 events"),
    (Life().every(hours="40 h").used(day(1), events=1), day(1), None),  # a use that did not say its hours
    (Life().every(hours="1 h").used(day(1), hours="3 h"), day(1), "0 h left of 1 h"),
]  # fmt: skip


@pytest.mark.parametrize(("life", "today", "nearest"), NEAREST)
def test_the_limit_of_which_most_is_used_is_named(life: Life, today: date, nearest: str | None) -> None:
    assert standing(life.part, today).nearest == nearest


def test_what_is_left_of_a_counter_is_never_rounded_up() -> None:
    part = Life().every(distance="100 km").used(day(1), distance="40 mi").part
    (distance,) = [c for c in standing(part, day(1)).counters if c.name == "distance"]
    assert (distance.used, distance.left) == ("64.373 km", "35.626 km")  # 64.37376 and 35.62624


DUE = [
    (Life(), day(0), False),  # nobody said when
    (Life().every(months=1), day(0), False),
    (Life().every(months=1), day(14), True),  # the calendar ends within two weeks
    (Life().every(hours="1 h").used(day(1), hours="1 h"), day(1), True),
    (Life().every(hours="1 h").used(day(1), events=1), day(1), True),
    (Life().every(months=12).crashed(day(1)), day(1), True),
    (Life().found(day(1), fit=False), day(1), False),
    (Life().tell("part installed", day(0), car="car 7").found(day(1), fit=False), day(1), True),
    (Life().every(months=12).crashed(day(1)).withdrawn(day(2)), day(2), False),
]


@pytest.mark.parametrize(("life", "today", "waits"), DUE)
def test_parts_that_somebody_has_to_look_at(life: Life, today: date, waits: bool) -> None:
    assert [entry.part.serial for entry in parts_due([life.part], today)] == ["S-1"] * waits


def test_a_title_of_a_dimension_is_kept_and_may_be_missing() -> None:
    titled = {"dimension": "D2", "title": "hole to edge", "value": "38", "unit": "mm"}
    life = Life()
    life.events[0]["act"]["as_built"].append(titled)
    assert [entry.title for entry in life.part.as_built] == ["", "hole to edge"]
