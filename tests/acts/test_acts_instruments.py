"""Instruments at the bench: what a reading keeps of them, and what follows when one is found wrong.

Limits: 4130 at 1/4 in takes 300 F of preheat (grade table, common practice). Findings are invented.
"""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from acts_kit import BRAM, CLEO, sheet
from deciding_kit import ADA, NUMBER, OTHER, Deciding, deciding_copy, other_job, refused

from traveler.acts.instruments import (
    NewInstrument,
    calibrated,
    found_out,
    register_instrument,
    withdraw,
)
from traveler.acts.issue import close
from traveler.acts.readings import NewReading, record_reading, supersede
from traveler.acts.settling import answer_question
from traveler.errors import BadInput
from traveler.quantity.show import show
from traveler.record.verify import verify_shop

PREHEAT = "preheat temperature"


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Deciding]:
    yield from deciding_copy(tmp_path / "shop.traveler", sheet(), other_job(sheet()))


def test_an_instrument_is_known_by_id_name_and_serial_number(bench: Deciding) -> None:
    entered = NewInstrument("Contact Probe", "contact thermometer", "0 F", "750 F", "3 F", "SN-9")
    made = register_instrument(bench.shop, bench.clock, ADA, entered)
    (probe,) = made.register.instruments
    assert (probe.id, show(probe.uncertainty), show(probe.range_to)) == ("I1", "3 F°", "750 °F")
    for named in ("I1", "i1", "contact  probe", "sn-9"):
        outcome = bench.record(10, PREHEAT, "310 F", instrument=named)
        assert outcome.state.readings[-1].instrument_state.instrument == "I1"
        assert outcome.state.readings[-1].instrument == named


def test_a_reading_keeps_its_instrument_as_it_stood_that_day(bench: Deciding) -> None:
    probe = bench.probe(uncertainty="3 F")
    bench.record(10, PREHEAT, "310 F", instrument=probe)
    bench.calibrate(probe, "2026-03-01", "2028-03-01")
    kept = bench.bodies()[-1]["act"]["instrument_state"]
    assert kept == {
        "instrument": "I1", "name": "contact probe", "type": "contact thermometer",
        "uncertainty": {"value": "3", "unit": "delta_degF"},
        "calibrated": "2026-01-05", "due": "2027-01-05", "certificate": "C-1", "state": "in calibration",
    }  # fmt: skip


def test_words_stay_words_in_a_shop_without_such_instruments(bench: Deciding) -> None:
    register_instrument(bench.shop, bench.clock, ADA, NewInstrument("depth gauge", "caliper"))
    assert bench.record(10, PREHEAT, "310 F", instrument="old probe").complies
    assert "instrument_state" not in bench.bodies()[-1]["act"]


@pytest.mark.parametrize("named", ["old probe", None])
def test_in_a_shop_with_such_instruments_a_reading_without_one_shows_nothing(
    bench: Deciding, named: str | None
) -> None:
    bench.probe()
    outcome = bench.record(10, PREHEAT, "310 F", instrument=named)
    assert outcome.recorded
    assert not outcome.complies
    assert "names no registered instrument" in outcome.message
    assert bench.record(10, "preheat temperature", "280 F").message.endswith("280 °F is below 300 °F")


def test_an_instrument_that_was_out_of_calibration_shows_nothing_and_one_that_lapsed_since_does(
    bench: Deciding,
) -> None:
    """The reading is judged by its own day: what lapses later takes nothing from it."""
    probe = bench.probe()
    bench.calibrate(probe, "2026-02-01", "2026-03-02")  # the day of the readings is the last one
    bench.read_preheat(probe, "310 F", "320 F")
    bench.at("2026-03-03T09:00:00+01:00")
    late = bench.record(10, PREHEAT, "310 F", place="rib", instrument=probe)
    assert "I1 contact probe was overdue (due 2026-03-02)" in late.message
    assert not late.complies
    # A late entry names its day, and that counts.
    there = bench.record(10, PREHEAT, "310 F", place="foot", instrument=probe, at="2026-03-02T17:00:00+01:00")
    assert there.complies
    before = bench.record(10, PREHEAT, "310 F", place="rim", instrument=probe, at="2025-12-24T17:00:00+01:00")
    assert "never calibrated" in before.message
    assert bench.verdict(10, PREHEAT)[0] == "met"


def test_a_withdrawn_instrument_shows_nothing_from_then_on(bench: Deciding) -> None:
    probe = bench.probe()
    bench.record(10, PREHEAT, "310 F", place="web", instrument=probe)
    bench.clock.pass_by(5)
    assert withdraw(bench.shop, bench.clock, ADA, probe, "dropped").complies
    bench.clock.pass_by(5)
    outcome = bench.record(10, PREHEAT, "310 F", place="rib", instrument=probe)
    assert "was withdrawn: dropped" in outcome.message
    assert "1 taken" in bench.verdict(10, PREHEAT)[1]
    assert "is withdrawn" in refused(withdraw(bench.shop, bench.clock, ADA, probe, "again"))
    assert "is withdrawn" in refused(bench.calibrate(probe, "2026-03-01", "2027-03-01"))


def test_a_gauge_found_out_questions_every_reading_since_it_was_last_good_in_every_job(
    bench: Deciding,
) -> None:
    probe, spare = bench.probe(), bench.probe("spare probe")
    first = bench.read_preheat(probe, "310 F", "320 F")
    bench.record(10, PREHEAT, "312 F", place="rib", instrument=spare)
    there = NewReading(10, PREHEAT, "305 F", place="web", instrument=probe)
    record_reading(bench.shop, bench.clock, BRAM, OTHER, there)
    supersede(bench.shop, bench.clock, BRAM, NUMBER, first[1], "330 F", "misread")
    before = {number: len(bench.shop.events(f"job {number}")) for number in (NUMBER, OTHER)}
    outcome = found_out(bench.shop, bench.clock, CLEO, "contact probe", "reads 12 F low at 300 F")
    assert outcome.recorded
    assert outcome.message.endswith("last good on 2026-01-05: 4 readings in 2 jobs in question")
    assert outcome.reasons == (f"job {NUMBER}: readings 1, 2, 4", f"job {OTHER}: reading 1")
    for number, added in before.items():
        assert len(bench.shop.events(f"job {number}")) == added + 1
    asked = bench.events_of(f"job {OTHER}")[-1]
    assert asked["kind"] == "readings questioned"
    assert asked["act"] == {"instrument": "I1", "finding": "reads 12 F low at 300 F", "readings": [1]}
    assert asked["by"]["name"] == CLEO.name
    board = {row.number: row.blocked_by for row in bench.shop.board()}
    assert all("I1 was found out of tolerance" in blocked for blocked in board.values())
    assert bench.verdict(10, PREHEAT)[0] == "not shown"  # one place is left, by the spare


def test_questioned_readings_are_answered_for_in_each_job_by_somebody_who_did_not_do_the_work(
    bench: Deciding,
) -> None:
    probe = bench.probe()
    bench.read_preheat(probe, "340 F", "350 F")
    bench.perform(10)
    assert bench.accept(10).recorded
    found_out(bench.shop, bench.clock, ADA, probe, "reads 12 F high")
    assert not bench.stands(10)
    assert "performed this step" in refused(answer_question(bench.signing(BRAM), True, "surely"))
    still = answer_question(bench.signing(CLEO), True, "340 F less 12 F is enough", [1])
    assert still.reasons == ("still to be answered: 2",)
    assert "reading 2 is in question" in "; ".join(bench.blocked(10))
    assert answer_question(bench.signing(CLEO), False, "the tip was loose that day").recorded
    verdict, reason = bench.verdict(10, PREHEAT)
    assert (verdict, "does not stand: the tip was loose that day" in reason) == ("not shown", True)
    bench.record(10, PREHEAT, "350 F", place="rib", instrument=bench.probe("spare probe"))
    assert bench.accept(10).recorded
    told = "; ".join(bench.seen()["exceptions"])
    assert "the tip was loose that day" in told


def test_a_correction_takes_no_reading_out_of_doubt(bench: Deciding) -> None:
    probe = bench.probe()
    number = bench.record(10, PREHEAT, "340 F", place="web", instrument=probe).reading or 0
    found_out(bench.shop, bench.clock, ADA, probe, "reads 12 F high")
    outcome = supersede(bench.shop, bench.clock, BRAM, NUMBER, number, "341 F", "misread")
    assert "I1 was found out of tolerance (reads 12 F high) and nobody answered for it" in outcome.message
    assert not outcome.complies
    assert answer_question(bench.signing(CLEO), True, "28 F of margin").recorded
    assert bench.record(10, PREHEAT, "340 F", place="rib", instrument=bench.probe("spare probe")).complies
    assert bench.verdict(10, PREHEAT)[0] == "met"


def test_a_correction_of_a_reading_that_stands_keeps_its_instrument(bench: Deciding) -> None:
    probe = bench.probe()
    number = bench.record(10, PREHEAT, "340 F", place="web", instrument=probe).reading or 0
    found_out(bench.shop, bench.clock, ADA, probe, "reads 1 F high")
    answer_question(bench.signing(CLEO), True, "40 F of margin")
    assert supersede(bench.shop, bench.clock, BRAM, NUMBER, number, "341 F", "misread").complies


def test_the_instrument_alone_can_be_corrected(bench: Deciding) -> None:
    probe = bench.probe()
    number = bench.record(10, PREHEAT, "340 F", place="web").reading or 0
    outcome = supersede(
        bench.shop, bench.clock, BRAM, NUMBER, number, None, "forgot to name it", instrument=probe
    )
    assert outcome.complies
    corrected = outcome.state.readings[-1]
    assert (corrected.typed, corrected.instrument_state.instrument) == ("340 F", "I1")
    assert outcome.state.readings[0].superseded


def test_readings_of_a_closed_job_are_questioned_and_answered_too(bench: Deciding) -> None:
    probe = bench.probe()
    bench.read_preheat(probe, "340 F", "350 F")
    bench.perform(10)
    assert bench.accept(10).recorded
    bench.record(20, "welder", "B. Ortega")
    bench.record(20, "filler lot", "lot 7")
    bench.record(20, "interpass temperature", "330 F", instrument=probe)
    bench.record(20, "arc energy", "1.0 kJ/mm")
    bench.perform(20, runs=1)
    assert bench.accept(20).recorded
    bench.record(30, "cooling after welding", "slow cooled under cover")
    bench.record(30, "uncovering temperature", "120 F", instrument=probe)
    bench.perform(30)
    assert bench.accept(30).recorded
    bench.clock.pass_by(49 * 60)
    bench.record(40, "wait before test", "49 h")
    bench.record(40, "visual result", "accepted")
    bench.record(40, "crack test", "no relevant indications")
    bench.perform(40)
    assert bench.accept(40).recorded
    assert close(bench.shop, bench.clock, ADA, NUMBER).complies
    outcome = found_out(bench.shop, bench.clock, ADA, probe, "reads 12 F high")
    assert outcome.reasons == (f"job {NUMBER}: readings 1, 2, 5, 8",)
    assert bench.seen()["state"] == "closed"
    assert "was found out of tolerance" in "; ".join(bench.seen()["exceptions"])
    assert answer_question(bench.signing(CLEO), True, "20 F of margin everywhere").recorded
    assert bench.seen()["questions"][0]["answers"][0]["because"] == "20 F of margin everywhere"
    assert verify_shop(bench.shop.path).faults == ()


@pytest.mark.parametrize(
    ("on", "since", "said"),
    [
        ("2026-03-03", None, "still to come"),
        (None, "2026-02-01", "was last calibrated on 2026-01-05; expected that day or an earlier one"),
        (None, "soon", '"soon" is no day'),
    ],
)
def test_the_days_of_a_finding_are_held_against_the_calendar(
    bench: Deciding, on: str | None, since: str | None, said: str
) -> None:
    probe = bench.probe()
    with pytest.raises(BadInput, match=said):
        found_out(bench.shop, bench.clock, ADA, probe, "low", on, since)
    assert bench.shop.events("shop")[-1].data["kind"] == "instrument calibrated"


def test_of_an_instrument_without_a_calibration_it_must_be_said_since_when(bench: Deciding) -> None:
    made = register_instrument(
        bench.shop, bench.clock, ADA, NewInstrument("crayon 300", "temperature crayon")
    )
    crayon = made.register.instruments[-1].id
    bench.record(10, PREHEAT, "melts 300 F", place="web", instrument=crayon)
    with pytest.raises(BadInput, match="--since"):
        found_out(bench.shop, bench.clock, ADA, crayon, "old stock")
    outcome = found_out(bench.shop, bench.clock, ADA, crayon, "old stock", since="2026-03-01")
    assert outcome.reasons == (f"job {NUMBER}: reading 1",)


def test_crayons_show_a_window_together_and_are_named_by_their_instrument(bench: Deciding) -> None:
    for mark in ("308", "350"):
        entered = NewInstrument(f"crayon {mark}", "temperature crayon")
        register_instrument(bench.shop, bench.clock, ADA, entered)
    alone = bench.record(10, PREHEAT, "melts 308 F", place="web", instrument="crayon 308")
    assert "by itself shows" in alone.message
    assert bench.record(10, PREHEAT, "holds 350 F", place="web", instrument="crayon 350").complies


@pytest.mark.parametrize(
    ("entered", "said"),
    [
        (NewInstrument("", "caliper"), "the instrument's name is missing"),
        (NewInstrument("I7", "caliper"), "reads like an id of the register"),
        (NewInstrument("probe", "thermo"), '"thermo" is no type of instrument'),
        (NewInstrument("probe", "thermocouple", uncertainty="3"), "uncertainty: 3: .*temperature difference"),
        (NewInstrument("probe", "thermocouple", uncertainty="-3 F"), "is below zero"),
        (NewInstrument("probe", "caliper", uncertainty="3 F"), "expected a length"),
        (NewInstrument("probe", "thermocouple", "750 F", "0 F"), "which is not above it"),
        (NewInstrument("probe", "torque wrench", "5 mm"), "none is kept of a torque wrench"),
    ],
)
def test_what_cannot_be_registered_says_so_and_leaves_nothing(
    bench: Deciding, entered: NewInstrument, said: str
) -> None:
    with pytest.raises(BadInput, match=said):
        register_instrument(bench.shop, bench.clock, ADA, entered)
    assert len(bench.shop.events("shop")) == 1


def test_two_instruments_are_told_apart(bench: Deciding) -> None:
    first = NewInstrument("probe", "thermocouple", serial="SN-1")
    register_instrument(bench.shop, bench.clock, ADA, first)
    with pytest.raises(BadInput, match='I1 probe has the serial number "SN-1" already'):
        register_instrument(
            bench.shop, bench.clock, ADA, NewInstrument("spare", "thermocouple", serial="sn-1")
        )
    with pytest.raises(BadInput, match="tell the two apart"):
        register_instrument(bench.shop, bench.clock, ADA, NewInstrument("Probe", "thermocouple"))
    register_instrument(bench.shop, bench.clock, ADA, NewInstrument("probe", "thermocouple", serial="SN-2"))
    with pytest.raises(BadInput, match='instrument "probe" may be I1 or I2; say which by its id'):
        bench.record(10, PREHEAT, "310 F", instrument="probe")


@pytest.mark.parametrize(
    ("on", "due", "said"),
    [
        ("2026-03-03", "2027-03-03", "still to come"),
        ("2026-01-05", "2025-01-05", "which is earlier"),
        ("05.01.2026", "2027-01-05", "is no day; expected one such as 2026-03-02"),
    ],
)
def test_a_calibration_has_its_days_in_order(bench: Deciding, on: str, due: str, said: str) -> None:
    probe = bench.probe()
    with pytest.raises(BadInput, match=said):
        calibrated(bench.shop, bench.clock, ADA, probe, on, due, "C-2")


def test_a_calibration_that_has_lapsed_already_is_entered_and_said(bench: Deciding) -> None:
    made = register_instrument(bench.shop, bench.clock, ADA, NewInstrument("probe", "thermocouple"))
    outcome = bench.calibrate("I1", "2025-01-05", "2026-01-04")
    assert (outcome.recorded, outcome.complies) == (True, False)
    assert outcome.message == "I1 probe was calibrated on 2025-01-05: it is overdue (due 2026-01-04)"
    assert bench.calibrate("I1", "2026-01-05", "2027-01-05").complies
    # An older one entered afterwards is kept, and the later one counts.
    older = bench.calibrate("I1", "2024-01-05", "2025-01-04")
    assert (older.complies, older.register.instruments[0].calibrations[-1].due) == (True, date(2025, 1, 4))
    assert len(made.register.instruments) == 1


def test_a_probe_that_comes_back_adjusted_was_last_good_before_that_day(bench: Deciding) -> None:
    """The laboratory finds it out and adjusts it in one go: its certificate bears the day of the finding."""
    probe = bench.probe()
    bench.record(10, PREHEAT, "310 F", place="web", instrument=probe, at="2026-02-10T08:00:00+01:00")
    bench.record(10, PREHEAT, "310 F", place="rim", instrument=probe, at="2026-03-02T06:30:00+01:00")
    bench.calibrate(probe, "2026-03-02", "2027-03-02")
    outcome = found_out(bench.shop, bench.clock, CLEO, probe, "as found 14 F high")
    assert outcome.message.endswith("last good on 2026-01-05: 2 readings in 1 job in question")
    # Nothing tells whether the one of that day was read before it came back.
    assert outcome.reasons == (f"job {NUMBER}: readings 1, 2",)
    assert bench.record(10, PREHEAT, "310 F", place="rib", instrument=probe).complies


def test_a_probe_calibrated_for_the_first_time_on_the_day_of_the_finding(bench: Deciding) -> None:
    made = register_instrument(
        bench.shop, bench.clock, ADA, NewInstrument("new probe", "contact thermometer")
    )
    probe = made.register.instruments[-1].id
    bench.calibrate(probe, "2026-03-02", "2027-03-02")
    bench.record(10, PREHEAT, "310 F", place="web", instrument=probe)
    assert "last good on 2026-03-02" in found_out(bench.shop, bench.clock, ADA, probe, "dropped").message
