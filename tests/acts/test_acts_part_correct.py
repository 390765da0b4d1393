"""A wrong entry in a part's life: superseded with its reason, counted no more, seen for ever."""

import pytest
from acts_kit import BRAM, Bench, issued_copy
from people_kit import INES, WIM, People, secret
from test_acts_again import NUMBER, RAW, build

from traveler.acts.parts import (
    Amount,
    Signing,
    correct,
    crash,
    inspect,
    install,
    register_part,
    set_interval,
    use,
    withdraw,
)
from traveler.acts.parts_look import one_part, parts_of_job
from traveler.acts.verify import verify
from traveler.errors import BadInput
from traveler.job.person import Person

BY = Signing(BRAM)


@pytest.fixture
def bench(tmp_path):
    yield from issued_copy(tmp_path / "shop.traveler", RAW)


@pytest.fixture
def made(bench: Bench) -> Bench:
    build(bench)
    assert register_part(bench.shop, bench.clock, BY, NUMBER, "RU-7").recorded
    assert set_interval(bench.shop, bench.clock, BY, "RU-7", Amount(3), "the owner asks").recorded
    return bench


def newest(bench: Bench) -> int:
    return max(entry["entry"] for entry in told(bench)["history"])


def told(bench: Bench) -> dict:
    return one_part(bench.shop, bench.clock, "RU-7")


def test_a_use_typed_wrong_counts_no_more_and_stays_visible(made: Bench) -> None:
    assert not use(made.shop, made.clock, BY, "RU-7", "race", Amount(30)).complies
    wrong = newest(made)
    answer = correct(made.shop, made.clock, BY, "RU-7", wrong, "30 typed for 1")
    assert (answer.recorded, answer.complies) == (True, True)
    assert use(made.shop, made.clock, BY, "RU-7", "race", Amount(1)).complies
    part = told(made)
    assert part["state"] == "fit"
    assert part["since_inspection"][0]["used"] == "1 event"
    by_entry = {entry["entry"]: entry for entry in part["history"]}
    assert by_entry[wrong]["what"] == "used: race (30 events)"
    assert by_entry[wrong]["superseded"] == f"superseded by entry {wrong + 1}: 30 typed for 1"
    assert by_entry[wrong + 1]["what"] == f"entry {wrong} superseded: 30 typed for 1"
    assert verify(made.shop.path).faults == ()


@pytest.mark.parametrize(
    ("enter", "before"),
    [
        (lambda s, c: crash(s, c, BY, "RU-7", "wall"), {"state": "fit"}),
        (lambda s, c: inspect(s, c, BY, "RU-7", "bent", False, {}), {"state": "fit"}),
        (lambda s, c: withdraw(s, c, BY, "RU-7", "bent"), {"state": "fit"}),
        (lambda s, c: install(s, c, BY, "RU-7", "car 12"), {"car": None}),
        (lambda s, c: set_interval(s, c, BY, "RU-7", Amount(9), "again"), {"interval": "3 events"}),
    ],
    ids=["crash", "inspection", "withdrawal", "car", "interval"],
)
def test_whatever_was_entered_for_the_wrong_part_is_undone(made: Bench, enter, before) -> None:
    enter(made.shop, made.clock)
    assert not before.items() <= told(made).items()
    assert correct(made.shop, made.clock, BY, "RU-7", newest(made), "it was part RU-8").complies
    assert before.items() <= told(made).items()


def test_an_inspection_taken_back_leaves_the_counters_where_they_were(made: Bench) -> None:
    use(made.shop, made.clock, BY, "RU-7", "race", Amount(3))
    assert inspect(made.shop, made.clock, BY, "RU-7", "crack test", True, {}).complies
    answer = correct(made.shop, made.clock, BY, "RU-7", newest(made), "another part was tested")
    assert (answer.recorded, answer.complies) == (True, False)
    assert told(made)["state"] == "inspection due"


def test_what_cannot_be_corrected(made: Bench) -> None:
    shop, clock = made.shop, made.clock
    first = told(made)["history"][0]["entry"]
    assert correct(shop, clock, BY, "RU-7", first, "why").reasons == (
        f"entry {first} gave the part its serial, and stays",
    )
    assert correct(shop, clock, BY, "RU-7", first + 1, "typed wrong").recorded
    (again,) = correct(shop, clock, BY, "RU-7", first + 1, "typed wrong").reasons
    assert again.startswith(f"entry {first + 1} is superseded already: superseded by entry {first + 2}")
    (itself,) = correct(shop, clock, BY, "RU-7", first + 2, "typed wrong").reasons
    assert itself == f"entry {first + 2} is a correction itself; enter anew what it took back"
    with pytest.raises(BadInput, match="part RU-7 has no entry 4711; expected one of: "):
        correct(shop, clock, BY, "RU-7", 4711, "why")
    with pytest.raises(BadInput):
        correct(shop, clock, BY, "RU-7", first + 1, " ")


def test_the_record_of_a_job_s_parts_does_not_depend_on_the_day_it_is_looked_at(made: Bench) -> None:
    set_interval(made.shop, made.clock, BY, "RU-7", Amount(3, months=12), "the owner asks")
    before = parts_of_job(made.shop, NUMBER)
    made.clock.pass_by(400 * 24 * 60)
    assert parts_of_job(made.shop, NUMBER) == before
    (part,) = before
    assert (part["event"], part["due_on"]) == (newest(made), "2027-03-04")
    assert parts_of_job(made.shop, "another") == []


def test_correcting_takes_who_may_vouch(made: Bench) -> None:
    """A welder may enter a crash and may not take one back."""
    people = People(made.shop, made.clock)
    people.begin()
    welder, inspector = Signing(Person(WIM), secret(WIM)), Signing(Person(INES), secret(INES))
    assert crash(made.shop, made.clock, welder, "RU-7", "wall").recorded
    wrong = newest(made)
    refused = correct(made.shop, made.clock, welder, "RU-7", wrong, "it was nothing")
    assert not refused.recorded
    assert "correcting the life of a part takes" in refused.reasons[0]
    assert told(made)["state"] == "inspect now"
    assert correct(made.shop, made.clock, inspector, "RU-7", wrong, "it was another part").complies
