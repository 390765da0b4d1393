"""What comes before what: the crack out before the weld, the crack test after straightening."""

import pytest
from plan_kit import planned, same_grade
from trust_kit import WANDA, Job

from traveler.job.exceptions import CRACK_TEST, exceptions
from traveler.job.finishing import ARC_STRIKES, COATED, INTERRUPTION, NOTHING, STRAIGHTENING
from traveler.job.gate import blockers
from traveler.job.repairs import CRACK_PROOF
from traveler.job.state import ARC_ENERGY, INTERPASS
from traveler.job.steps.asked import asked_quantity
from traveler.library.asked import load_asked

PROOF = "crack proved out"
CUT, FIT, PREHEAT, WELD, INSPECT = 10, 20, 30, 40, 60
OUT, IN = "no indications by penetrant (PT)", "indications remain"
GOOD = "no relevant indications"


def repair() -> Job:
    """A crack in certified 4130 that is welded again, with what is asked where the job sets it."""
    return Job(planned(same_grade("1/4 in", joint='repair = { of = "crack" }\n')))


def against(job: Job, step: int, *words: str) -> list[str]:
    """Of what blocks a step, the sentences with these words."""
    found = blockers(job.state, job.step(step), job.clock)
    return [reason for reason in found if any(word in reason for word in words)]


def of_crack(job: Job) -> list[str]:
    return against(job, WELD, "crack")


def test_the_weld_is_blocked_until_the_crack_is_proved_out() -> None:
    job = repair()
    job.run(1, at=WELD)
    assert of_crack(job) == [
        "the crack at J1 is not proved out: test the ground-out place by PT or MT before any weld, "
        "and record it at step 20"
    ]


def test_proved_out_before_the_first_run_nothing_is_said() -> None:
    job = repair()
    job.read(FIT, OUT, PROOF)
    job.run(1, at=WELD)
    assert of_crack(job) == []


def test_indications_that_remain_are_no_proof() -> None:
    job = repair()
    job.read(FIT, IN, PROOF)
    job.run(1, at=WELD)
    assert of_crack(job)
    job.read(FIT, OUT, PROOF)
    assert of_crack(job), "a later good reading never outweighs an earlier bad one"


def test_a_typing_error_corrected_keeps_its_place() -> None:
    job = repair()
    slip = job.read(FIT, IN, PROOF)
    job.run(1, at=WELD)
    job.correct(slip, OUT)
    assert of_crack(job) == []


def test_a_run_before_the_proof_takes_a_nonconformance_that_names_it() -> None:
    job = repair()
    job.run(1, at=WELD)
    job.read(FIT, OUT, PROOF)
    job.run(2, at=WELD)
    energy = job.state.readings[1]
    assert energy.key[1] == ARC_ENERGY
    assert of_crack(job) == [
        "run 1 of J1 was recorded before its crack was proved out at step 20: that takes a nonconformance that "
        f"names reading {energy.number}"
    ]
    job.disposed("use as is", energy.number, at=WELD, quantity=ARC_ENERGY, joint="J1")
    assert of_crack(job) == []


def test_a_proof_taken_back_is_none() -> None:
    job = repair()
    proof = job.read(FIT, OUT, PROOF)
    job.run(1, at=WELD)
    job.correct(proof, None)
    assert "not proved out" in of_crack(job)[0]


def test_a_joint_that_is_no_repair_is_not_asked() -> None:
    job = Job(planned(same_grade("1/4 in")))
    job.run(1, at=WELD)
    assert of_crack(job) == []


def straightened(*acts: tuple[str, str]) -> Job:
    """Readings at the inspection of a job whose sheet lets it be straightened cold, in this order."""
    job = Job(planned(same_grade("1/4 in", job='straightening = "cold"')))
    for quantity, value in acts:
        job.read(INSPECT, value, quantity)
    return job


def to_test_again(job: Job) -> list[str]:
    return against(job, INSPECT, "test for cracks again")


BENT, STRAIGHT = (STRAIGHTENING, "cold"), (STRAIGHTENING, "none")
TESTED = (CRACK_TEST, GOOD)


@pytest.mark.parametrize(
    ("acts", "again"),
    [
        ((BENT, TESTED), False),
        ((TESTED, BENT), True),
        ((TESTED, STRAIGHT), False),
        ((BENT, TESTED, BENT), True),
        ((BENT, TESTED, BENT, TESTED), False),
        ((STRAIGHT, TESTED, BENT), True),
        ((BENT,), False),  # then the crack test is not shown, and that is what blocks
    ],
)
def test_the_crack_test_comes_after_the_last_straightening(
    acts: tuple[tuple[str, str], ...], again: bool
) -> None:
    assert bool(to_test_again(straightened(*acts))) is again


def test_the_sentence_says_what_to_do() -> None:
    assert to_test_again(straightened(TESTED, BENT)) == [
        "straightened (reading 2) after the crack test of J1: test for cracks again and record it"
    ]


def test_a_crack_test_corrected_afterwards_still_was_before() -> None:
    job = straightened(TESTED, BENT)
    job.correct(1, GOOD, "wrong lamp noted")
    assert to_test_again(job)


def test_straightening_after_acceptance_takes_the_acceptance_back() -> None:
    job = straightened(STRAIGHT, TESTED, ("visual result", "accepted"), ("wait before test", "48 h"))
    job.perform(INSPECT)
    for step in (CUT, FIT, PREHEAT, WELD, 50, INSPECT):
        job.sign_accepted(step)
    assert job.stands(INSPECT)
    job.read(INSPECT, "cold", STRAIGHTENING, by=WANDA)
    assert not job.stands(INSPECT)
    assert to_test_again(job)
    job.read(INSPECT, GOOD, CRACK_TEST)
    assert not to_test_again(job)


def test_work_on_the_weld_itself_stays_recordable() -> None:
    """What happened is recorded: only acceptance is blocked."""
    job = repair()
    assert job.run(1, at=WELD)
    assert job.state.runs_recorded("J1")
    assert [reading.key[1] for reading in job.state.readings] == [INTERPASS, ARC_ENERGY]


def test_what_was_mended_or_bent_back_stands_among_the_exceptions() -> None:
    assert "joint J1 is a repair: crack, repair 1" in list(exceptions(repair().state))
    bent = straightened(BENT, TESTED)
    assert "step 60: straightening: cold (reading 1)" in list(exceptions(bent.state))
    bent.correct(1, "none")
    assert not any("straightening: " in said for said in exceptions(bent.state))
    assert not any("straightening" in said for said in exceptions(straightened(STRAIGHT, TESTED).state))


def test_the_names_that_the_gate_looks_for_are_those_that_the_steps_ask() -> None:
    """A word changed in the library would silence the gate."""
    assert (asked_quantity("crack proved out"), asked_quantity("straightening")) == (
        CRACK_PROOF,
        STRAIGHTENING,
    )
    assert asked_quantity("coated") == COATED
    assert (asked_quantity("arc strikes"), asked_quantity("interruptions")) == (ARC_STRIKES, INTERRUPTION)
    for name in ("straightening", "arc strikes", "interruptions"):
        assert NOTHING in load_asked()[name].accepts


def test_a_weld_after_the_coating_undoes_it() -> None:
    job = Job(
        planned(
            same_grade("1/4 in", job='coating = { process = "zinc electroplated", hardness = "40 HRC" }\n')
        )
    )
    coat = 70
    job.run(1, at=WELD)
    for _ in range(2):
        assert not against(job, coat, "welded after")
        job.read(coat, "as the sheet says", COATED)
        job.read(coat, "14 h", "plating bake time")
        assert not against(job, coat, "welded after")
        job.run(2, at=WELD)
        assert against(job, coat, "welded after") == [
            "J1 was welded after it was coated: coat it again, and record anew coating, plating bake time"
        ]
        job.read(coat, "as the sheet says", COATED)
        (left,) = against(job, coat, "welded after")
        assert left.endswith("record anew plating bake time")
        job.read(coat, "14 h", "plating bake time")


SHOWN = (("wait before test", "48 h"), ("visual result", "accepted"), (CRACK_TEST, GOOD))


def looked_at(job: Job) -> None:
    for quantity, value in SHOWN:
        job.read(INSPECT, value, quantity)


def accepted() -> Job:
    """A weld of one run, inspected; every signature given as if the rest were in order."""
    job = Job(planned(same_grade("1/4 in")))
    job.run(1, at=WELD)
    looked_at(job)
    job.perform(INSPECT)
    for step in (CUT, FIT, PREHEAT, WELD, 50, INSPECT):
        job.sign_accepted(step)
    assert job.stands(INSPECT)
    return job


def test_what_was_shown_before_a_run_shows_nothing_of_the_weld_with_it() -> None:
    job = Job(planned(same_grade("1/4 in")))
    job.read(50, "120 degF", "uncovering temperature")
    looked_at(job)
    assert against(job, 50, "welded since") == against(job, INSPECT, "welded since") == []
    job.run(1, at=WELD)
    assert against(job, 50, "welded since") == ["J1 was welded since: record anew uncovering temperature"]
    every = ", ".join(quantity for quantity, _ in SHOWN)
    assert against(job, INSPECT, "welded since") == [f"J1 was welded since: record anew {every}"]
    looked_at(job)
    assert against(job, INSPECT, "welded since") == []


def test_a_run_after_the_acceptance_takes_it_back() -> None:
    job = accepted()
    job.run(2, at=WELD)
    assert not job.stands(INSPECT)
    said = "step 60 is to be re-verified: run 2 of J1 was laid after this step was accepted"
    assert said in list(exceptions(job.state))
    assert against(job, INSPECT, "welded since")


def test_a_run_that_is_corrected_was_there_when_it_was_looked_at() -> None:
    job = accepted()
    energy = next(reading for reading in job.state.readings if reading.key[1] == ARC_ENERGY)
    job.correct(energy.number, "1.1 kJ/mm")
    assert job.stands(INSPECT)
    job.sign_accepted(WELD)
    assert against(job, INSPECT, "welded since") == []


def test_the_crack_test_of_before_a_rework_does_not_show_the_weld_of_after_it() -> None:
    job = accepted()
    job.disposed("rework", at=WELD)
    job.run(1, at=WELD)
    job.perform(WELD)
    assert against(job, INSPECT, "welded since")
    looked_at(job)
    assert against(job, INSPECT, "welded since") == []


def test_a_nonconformance_lets_stand_what_cannot_be_shown_again() -> None:
    job = accepted()
    numbers = [reading.number for reading in job.state.readings if reading.key[0] == INSPECT]
    job.run(2, at=WELD)
    job.disposed("use as is", *numbers, at=INSPECT)
    assert against(job, INSPECT, "welded since") == []
    job.run(3, at=WELD)
    assert against(job, INSPECT, "welded since")


def test_only_what_the_route_has_behind_the_weld_is_of_it() -> None:
    """A look at the root between two weld steps is of the root."""
    steps = ((10, "weld"), (20, "inspect"), (30, "weld"), (40, "inspect"))
    own = "".join(f'[[step]]\nnumber = {number}\nkind = "{kind}"\njoint = "J1"\n\n' for number, kind in steps)
    job = Job(planned(same_grade("1/4 in") + own))
    job.run(1, at=10)
    job.read(20, "accepted", "visual result")
    job.read(40, "accepted", "visual result")
    job.run(1, at=30)
    assert against(job, 20, "welded since") == []
    assert against(job, 40, "welded since") == ["J1 was welded since: record anew visual result"]
