"""Trying again: only a preheat, only too cold, only before the weld; and signatures that fall with what changes."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from acts_kit import ADA, BRAM, CLEO, NUMBER, Bench, issued_copy

from traveler.acts.change import Outcome
from traveler.acts.issue import cancel, close
from traveler.acts.look import export, look
from traveler.acts.readings import retry, supersede
from traveler.errors import BadInput
from traveler.job.state import Person

SHEETS = Path(__file__).parents[2] / "fixtures" / "sheets"


@pytest.fixture
def quenched(tmp_path: Path) -> Iterator[Bench]:
    raw = (SHEETS / "thick-quenched.toml").read_bytes()
    yield from issued_copy(tmp_path / "quenched.traveler", raw, "Q-031")


def try_again(bench: Bench, step: int, quantity: str, joint: str | None = None) -> Outcome:
    return retry(bench.shop, bench.clock, BRAM, bench.number, step, quantity, joint, "it was cold")


def test_a_cold_preheat_is_heated_again_and_both_attempts_stay(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "250 F", place="web")
    bench.record(10, "preheat temperature", "320 F", place="flange")
    bench.perform(10)
    assert not bench.accept(10).recorded
    outcome = try_again(bench, 10, "preheat temperature")
    assert (outcome.recorded, outcome.message) == (True, "step 10: attempt 2 of preheat temperature is open")
    refused = bench.accept(10)
    assert refused.reasons == ("preheat temperature not shown: 2 readings needed, none taken",)
    bench.preheated()
    assert bench.accept(10).recorded
    assert [reading.attempt for reading in bench.record(10, "preheat temperature", "400 F").state.readings] == [
        1, 1, 2, 2, 2,
    ]  # fmt: skip


def test_what_was_warm_enough_is_not_tried_again(bench: Bench) -> None:
    assert not try_again(bench, 10, "preheat temperature").recorded
    bench.record(10, "preheat temperature", "300 F", place="web")
    reason = "no standing reading is too cold, so there is nothing to try again"
    assert try_again(bench, 10, "preheat temperature").reasons == (reason,)


def test_not_once_a_run_is_laid(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "250 F", place="web")
    bench.run_of_weld()
    outcome = try_again(bench, 10, "preheat temperature")
    assert outcome.reasons == ("a run of weld is recorded on J1: from then on its preheat is what it was",)
    assert len(bench.bodies()) == 4


def test_a_second_attempt_needs_a_new_cold_reading(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "250 F", place="web")
    assert try_again(bench, 10, "preheat temperature").recorded
    assert not try_again(bench, 10, "preheat temperature").recorded
    bench.record(10, "preheat temperature", "299 F", place="web")
    assert try_again(bench, 10, "preheat temperature").state.retries[-1].attempt == 3


@pytest.mark.parametrize(
    ("step", "quantity", "value"),
    [
        (20, "interpass temperature", "250 F"),
        (30, "uncovering temperature", "300 F"),
        (40, "wait before test", "2 h"),
    ],
)
def test_nothing_else_is_tried_again(bench: Bench, step: int, quantity: str, value: str) -> None:
    bench.record(step, quantity, value)
    outcome = try_again(bench, step, quantity)
    expected = f"only a preheat that was too cold may be tried again, not the {quantity} of step {step}"
    assert outcome.reasons == (expected,)


def test_a_relief_that_was_too_cold_is_not_tried_again(quenched: Bench) -> None:
    quenched.record(60, "soak temperature", "900 F", place="lug")
    assert not try_again(quenched, 60, "soak temperature").recorded


def test_a_preheat_that_was_too_hot_is_not_tried_again(quenched: Bench) -> None:
    # Tempered at 1150 F; above 1100 F the metal is softer than it was bought (shop margin of 50 F).
    quenched.record(30, "preheat temperature", "1101 F", place="lug")
    quenched.record(30, "preheat temperature", "400 F", place="lug")
    outcome = try_again(quenched, 30, "preheat temperature")
    assert outcome.reasons == ("reading 1 was too hot; only a preheat that was too cold may be tried again",)


def test_whoever_performed_does_not_accept(bench: Bench) -> None:
    bench.preheated()
    bench.perform(10, Person("Zoë Ortega"))
    for same in (
        "Zoë Ortega",
        "zoë ortega ",
        "ZOË  ORTEGA",
        "Zoe\u0308 Ortega",
        "Zoë\u200b Ortega",
        "Ｚoë Ortega",
    ):
        refused = bench.accept(10, Person(same))
        assert not refused.recorded, same
        assert "another person must accept it" in refused.reasons[0]
    assert bench.accept(10, Person("Zoe Ortega")).recorded  # another name, as far as names as stated go


def test_everybody_who_performed_is_kept_from_accepting(bench: Bench) -> None:
    bench.preheated()
    bench.perform(10, BRAM)
    bench.perform(10, CLEO)
    assert not bench.accept(10, BRAM).recorded
    assert not bench.accept(10, CLEO).recorded
    assert bench.accept(10, ADA).recorded


def test_a_step_performed_ahead_of_another_is_signed_again(bench: Bench) -> None:
    bench.perform(20)
    bench.through_preheat()
    bench.record(20, "welder", "B. Ortega")
    bench.record(20, "filler lot", "lot 7")
    bench.run_of_weld()
    refused = bench.accept(20)
    assert not refused.recorded
    assert "ahead of step 10" in refused.reasons[0]
    bench.perform(20)
    assert bench.accept(20).recorded


def test_an_acceptance_falls_with_any_change_of_what_it_covered(bench: Bench) -> None:
    bench.through_preheat()
    assert bench.accept(10, CLEO).reasons == ("already accepted",)
    bench.record(10, "preheat temperature", "330 F", place="rib")
    outcome = close(bench.shop, bench.clock, ADA, NUMBER)
    assert "step 10 preheat is not accepted" in outcome.reasons
    assert bench.accept(10).recorded
    supersede(bench.shop, bench.clock, CLEO, NUMBER, 1, None, "another part")
    assert bench.accept(10).recorded  # two places are left
    supersede(bench.shop, bench.clock, CLEO, NUMBER, 2, None, "another part")
    assert not bench.accept(10).recorded


def test_an_ended_job_takes_nothing_more(bench: Bench) -> None:
    bench.through_everything()
    assert close(bench.shop, bench.clock, ADA, NUMBER).recorded
    before = bench.bodies()
    refused = [
        bench.record(10, "preheat temperature", "320 F"),
        bench.perform(10),
        bench.accept(10),
        try_again(bench, 10, "preheat temperature"),
        supersede(bench.shop, bench.clock, BRAM, NUMBER, 1, "310 F", "misread"),
        close(bench.shop, bench.clock, ADA, NUMBER),
        cancel(bench.shop, bench.clock, ADA, NUMBER, "no need"),
    ]
    assert {outcome.reasons for outcome in refused} == {("the job is closed",)}
    assert bench.bodies() == before


def test_the_number_of_runs_is_minded(bench: Bench) -> None:
    bench.run_of_weld()
    bench.run_of_weld()
    for step, runs, said in (
        (20, 1, "run 2 is recorded"),
        (20, 0, "expected 1 to 9999"),
        (20, 10_000, "expected 1 to 9999"),
        (10, 1, "no weld step"),
    ):
        with pytest.raises(BadInput, match=said):
            bench.perform(step, runs=runs)
    assert bench.perform(20).state.performed[-1].runs == 2
    assert bench.perform(20, runs=3).state.performed[-1].runs == 3


def test_a_step_waits_for_the_acceptance_of_the_one_before(bench: Bench) -> None:
    """Performed in order is not enough: what comes first is accepted first."""
    bench.preheated()
    bench.perform(10)
    bench.record(20, "welder", "B. Ortega")
    bench.record(20, "filler lot", "lot 7")
    bench.run_of_weld()
    bench.perform(20)
    assert bench.accept(20).reasons == ("step 10 comes first and is not accepted",)
    assert bench.accept(10).recorded
    assert bench.accept(20).recorded


def test_an_acceptance_falls_with_another_performance(bench: Bench) -> None:
    bench.through_preheat()
    bench.perform(10, CLEO)
    assert close(bench.shop, bench.clock, ADA, NUMBER).reasons[0] == "step 10 preheat is not accepted"


def test_what_was_signed_as_performed_says_when_it_is_not_what_stands_there(bench: Bench) -> None:
    """The work stays signed for; that the signer did not see what came later is said beside the signature."""

    def told() -> list[bool | None]:
        step = look(bench.shop, bench.clock, NUMBER)["steps"][0]
        return [entry["changed"] for entry in step["performed"]]

    bench.preheated()
    bench.perform(10)
    assert told() == [None]
    bench.perform(10, by=CLEO)  # another signature changes nothing of what was signed
    bench.accept(10)
    assert told() == [None, None]
    bench.record(10, "preheat temperature", "330 F", place="rim")
    assert told() == [True, True]
    bench.perform(10)
    assert told() == [True, True, None]
    text = " ".join(export(bench.shop, NUMBER, "text").decode().split())
    assert text.count("content changed since signing") == 2
    assert text.count("DOES NOT STAND: the content changed after this signature") == 1
