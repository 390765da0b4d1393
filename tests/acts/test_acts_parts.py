"""Parts out of closed jobs: who may say what of them, and what is refused."""

import re
from pathlib import Path

import pytest
from acts_kit import ADA, BRAM, Bench, issued_copy
from batch_kit import SERIALS, Batch, batch_sheet
from deciding_kit import deciding_copy
from people_kit import INES, WIM, People, secret
from test_acts_again import NUMBER, RAW, build

from traveler.acts.instruments import found_out
from traveler.acts.parts import (
    Amount,
    Signing,
    crash,
    inspect,
    install,
    register_part,
    remove,
    set_interval,
    use,
    withdraw,
)
from traveler.acts.parts_look import one_part, part_objects
from traveler.acts.settling import answer_question
from traveler.acts.verify import verify
from traveler.errors import BadInput
from traveler.job.person import Person
from traveler.record.shop import Shop

BY = Signing(BRAM)


@pytest.fixture
def bench(tmp_path):
    yield from issued_copy(tmp_path / "shop.traveler", RAW)


@pytest.fixture
def made(bench: Bench) -> Bench:
    build(bench)
    assert register_part(bench.shop, bench.clock, BY, NUMBER, "RU-7").recorded
    return bench


def test_a_part_out_of_a_closed_job(made: Bench) -> None:
    found = one_part(made.shop, made.clock, "ru-7")
    assert (found["serial"], found["design"], found["state"]) == (
        "RU-7",
        "Link tab, invented",
        "no interval set",
    )
    assert found["as_built"] == [
        {"dimension": "D1", "title": "hole to edge", "size": "38.12 mm"},
        {"dimension": "D2", "title": "jig stop to datum", "size": "2.002 in"},
    ]
    assert found["history"][0]["on"] == "2026-03-04"  # the day on which the job was closed


def test_an_open_job_gives_no_part(bench: Bench) -> None:
    answer = register_part(bench.shop, bench.clock, BY, NUMBER, "RU-7")
    assert not answer.recorded
    assert answer.reasons == ("job A-101 is not closed; only what is complete gets a serial",)
    assert part_objects(bench.shop, bench.clock) == []


def test_a_serial_is_given_once_and_spares_share_a_design(made: Bench) -> None:
    with pytest.raises(BadInput, match='there is a part "ru-7" already'):
        register_part(made.shop, made.clock, BY, NUMBER, "ru-7")
    register_part(made.shop, made.clock, BY, NUMBER, "RU-8")
    register_part(made.shop, made.clock, BY, NUMBER, "X-1", "another")
    assert [p["serial"] for p in part_objects(made.shop, made.clock, "LINK TAB, invented")] == [
        "RU-7",
        "RU-8",
    ]


def test_a_life(made: Bench) -> None:
    shop, clock = made.shop, made.clock
    assert set_interval(
        shop, clock, BY, "RU-7", Amount(events=3, distance="100 mi"), "the owner asks"
    ).complies
    assert install(shop, clock, BY, "RU-7", "car 12").complies
    clock.pass_by(3 * 24 * 60)
    assert use(shop, clock, BY, "RU-7", "race", Amount(2, distance="150 km"), "2026-03-06").complies
    answer = use(shop, clock, BY, "RU-7", "race", Amount(0, distance="11 km"))
    assert (answer.recorded, answer.complies) == (True, False)
    assert answer.reasons == ("100.040 mi of 100 mi since 2026-03-04",)
    answer = inspect(shop, clock, BY, "RU-7", "crack test", True, {"D1": "38.40 mm"})
    assert answer.complies
    assert "D1 38.40 mm, as built 38.12 mm: +0.28 mm" in one_part(shop, clock, "RU-7")["history"][-1]["what"]
    assert not crash(shop, clock, BY, "RU-7", "into a wall").complies
    assert remove(shop, clock, BY, "RU-7", "to be looked at").complies
    assert not inspect(shop, clock, BY, "RU-7", "bent", False, {}).complies
    assert withdraw(shop, clock, BY, "RU-7", "bent").complies
    # What happens is recorded even so.
    assert install(shop, clock, BY, "RU-7", "car 12").recorded
    for refused in (
        inspect(shop, clock, BY, "RU-7", "looks good", True, {}),
        withdraw(shop, clock, BY, "RU-7", "again"),
        set_interval(shop, clock, BY, "RU-7", Amount(1), "again"),
    ):
        assert (refused.recorded, refused.reasons) == (False, ("part RU-7 is withdrawn: bent",))
    assert verify(shop.path).faults == ()


@pytest.mark.parametrize(
    ("act", "told"),
    [
        (lambda s, c: use(s, c, BY, "RU-7", "race", Amount()), "how much it was used is missing"),
        (lambda s, c: use(s, c, BY, "RU-7", "race", Amount(1)), 'inspected by distance, and no distance were given; '
                                                               'expected --distance "0 km"'),
        (lambda s, c: use(s, c, BY, "RU-7", "race", Amount(-1, distance="1 km")), "events: read -1"),
        (lambda s, c: use(s, c, BY, "RU-7", "race", Amount(1, distance="-1 km")), "expected zero or more"),
        (lambda s, c: use(s, c, BY, "RU-7", " ", Amount(1)), "what it was used for is missing"),
        (lambda s, c: use(s, c, BY, "RU-7", "r", Amount(1, distance="1 km"), "2026-03-03"), "was made, on"),
        (lambda s, c: use(s, c, BY, "RU-7", "r", Amount(1, distance="1 km"), "2027-01-01"), "still to come"),
        (lambda s, c: crash(s, c, BY, "RU-7", "wall", "yesterday"), '"yesterday" is no day'),
        (lambda s, c: crash(s, c, BY, "RU-9", "wall"), 'there is no part "RU-9"; the shop has: RU-7'),
        (lambda s, c: set_interval(s, c, BY, "RU-7", Amount(), "why"), "no interval was given"),
        (lambda s, c: set_interval(s, c, BY, "RU-7", Amount(0), "why"), "events: read 0"),
        (lambda s, c: set_interval(s, c, BY, "RU-7", Amount(hours="0 h"), "why"), "expected more than zero"),
        (lambda s, c: set_interval(s, c, BY, "RU-7", Amount(hours="2 km"), "why"), "2 km"),
        (lambda s, c: inspect(s, c, BY, "RU-7", "x", True, {"D1": "38"}), "38"),
        (lambda s, c: register_part(s, c, BY, "A-999", "RU-9"), 'there is no job "A-999"'),
    ],
)  # fmt: skip
def test_what_cannot_be_entered(made: Bench, act, told: str) -> None:
    set_interval(made.shop, made.clock, BY, "RU-7", Amount(5, distance="100 km"), "the owner asks")
    before = len(made.shop.events("shop"))
    with pytest.raises(BadInput, match=re.escape(told)):
        act(made.shop, made.clock)
    assert len(made.shop.events("shop")) == before


@pytest.mark.slow
def test_who_vouches_for_a_part(made: Bench) -> None:
    """A welder enters what happened; that it may be relied on is said by those who accept."""
    people = People(made.shop, made.clock)
    people.begin()
    welder, inspector = Signing(Person(WIM), secret(WIM)), Signing(Person(INES), secret(INES))
    shop, clock = made.shop, made.clock
    assert set_interval(shop, clock, inspector, "RU-7", Amount(1), "ours").recorded
    assert use(shop, clock, welder, "RU-7", "race", Amount(1)).recorded
    assert crash(shop, clock, welder, "RU-7", "wall").recorded
    refused = inspect(shop, clock, welder, "RU-7", "looks good", True, {})
    assert not refused.recorded
    assert "inspecting a part takes" in refused.reasons[0]
    assert not set_interval(shop, clock, welder, "RU-7", Amount(9), "mine").recorded
    assert not withdraw(shop, clock, Signing(Person(ADA.name)), "RU-7", "x").recorded
    assert inspect(shop, clock, inspector, "RU-7", "crack test", True, {}).complies


def test_it_stands_in_the_file(made: Bench) -> None:
    path = made.shop.path
    with Shop.open(path, read_only=True) as again:
        assert [part["serial"] for part in part_objects(again, made.clock)] == ["RU-7"]


def test_only_a_piece_that_a_batch_was_closed_with_becomes_a_part(tmp_path: Path) -> None:
    for bench in issued_copy(tmp_path / "shop.traveler", batch_sheet(4, SERIALS[:4])):
        batch = Batch(bench)
        assert batch.scrap(1, "S2").recorded
        assert batch.split("A-101B", 1, "S4").recorded
        batch.closed(NUMBER, 2)
        for serial in ("S2", "S4", "S9"):
            answer = register_part(bench.shop, bench.clock, BY, NUMBER, serial)
            assert answer.reasons == (f"{serial} is no piece that job A-101 was closed with: S1, S3",)
        assert register_part(bench.shop, bench.clock, BY, NUMBER, "s1").recorded
        assert [part["serial"] for part in part_objects(bench.shop, bench.clock)] == ["s1"]


def test_a_batch_has_no_more_parts_than_pieces(tmp_path: Path) -> None:
    for bench in issued_copy(tmp_path / "shop.traveler", batch_sheet(3)):
        batch = Batch(bench)
        assert batch.lose(1).recorded
        batch.closed(NUMBER, 2)
        given = [register_part(bench.shop, bench.clock, BY, NUMBER, serial).recorded for serial in "XYZ"]
        assert given == [True, True, False]


def test_what_is_in_question_in_its_job_is_said_of_the_part(tmp_path: Path) -> None:
    for bench in deciding_copy(tmp_path / "shop.traveler"):
        shop, clock, probe = bench.shop, bench.clock, bench.probe()
        bench.read_preheat(probe, "320 F", "310 F")
        bench.perform(10)
        bench.record(20, "welder", "B. Ortega")
        bench.record(20, "filler lot", "lot 7")
        bench.record(20, "interpass temperature", "330 F", instrument=probe)
        bench.record(20, "arc energy", "1.0 kJ/mm")
        bench.perform(20)
        bench.record(30, "cooling after welding", "slow cooled under cover")
        bench.record(30, "uncovering temperature", "120 F", instrument=probe)
        bench.perform(30)
        bench.record(40, "wait before test", "49 h")
        bench.record(40, "visual result", "accepted")
        bench.record(40, "crack test", "no relevant indications")
        bench.perform(40)
        assert all(bench.accept(step).recorded for step in (10, 20, 30, 40))
        assert Batch(bench).close().recorded
        register_part(shop, clock, BY, NUMBER, "RU-7")
        set_interval(shop, clock, BY, "RU-7", Amount(events=3), "the owner asks")
        assert one_part(shop, clock, "RU-7")["why"] == []
        found_out(shop, clock, ADA, probe, "reads 40 F low")
        assert one_part(shop, clock, "RU-7")["why"] == ["4 readings of job A-101 in question"]
        assert answer_question(bench.signing(ADA), True, "40 F of margin").recorded
        assert one_part(shop, clock, "RU-7")["why"] == []
