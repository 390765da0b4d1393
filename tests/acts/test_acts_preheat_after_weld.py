"""A preheat recorded once a run is laid shows nothing of the metal before it.

Preheat temperature: that of the workpiece in the weld zone immediately before any welding operation (ISO 13916:2017,
3.1 [memory]).
"""

from typing import Any

from acts_kit import ADA, BRAM, Bench

from traveler.acts.look import look
from traveler.acts.readings import supersede


def preheat(bench: Bench) -> dict[str, Any]:
    step = look(bench.shop, bench.clock, bench.number)["steps"][0]
    found: dict[str, Any] = step["requirements"][0]
    return found


def lay_run_one(bench: Bench) -> None:
    bench.record(20, "interpass temperature", "330 F")
    bench.record(20, "arc energy", "1.0 kJ/mm")


def test_read_after_the_run_it_is_no_evidence_and_blocks(bench: Bench) -> None:
    lay_run_one(bench)
    bench.record(10, "preheat temperature", "320 F", place="web")
    bench.record(10, "preheat temperature", "320 F", place="flange")
    found = preheat(bench)
    assert found["verdict"] == "not shown"
    assert "reading 3 was recorded after run 1 was laid" in found["verdict_reason"]
    bench.perform(10)
    assert not bench.accept(10).recorded


def test_read_before_the_run_it_counts_whatever_follows(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "320 F", place="web")
    bench.record(10, "preheat temperature", "320 F", place="flange")
    lay_run_one(bench)
    assert preheat(bench)["verdict"] == "met"
    bench.record(10, "preheat temperature", "305 F", place="web")
    assert preheat(bench)["verdict"] == "met"
    bench.perform(10)
    assert bench.accept(10).recorded


def test_one_before_and_one_after_are_one(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "320 F", place="web")
    lay_run_one(bench)
    bench.record(10, "preheat temperature", "320 F", place="flange")
    assert preheat(bench)["verdict"] == "not shown"


def test_too_cold_after_the_run_is_not_met_all_the_same(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "320 F", place="web")
    bench.record(10, "preheat temperature", "320 F", place="flange")
    lay_run_one(bench)
    bench.record(10, "preheat temperature", "280 F", place="web")
    assert preheat(bench)["verdict"] == "not met"


def test_a_correction_keeps_the_place_of_what_it_corrects(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "32 F", place="web")
    bench.record(10, "preheat temperature", "320 F", place="flange")
    lay_run_one(bench)
    supersede(bench.shop, bench.clock, BRAM, bench.number, 1, "320 F", "a figure was left out")
    assert preheat(bench)["verdict"] == "met"


def test_a_run_taken_back_was_not_laid(bench: Bench) -> None:
    lay_run_one(bench)
    bench.record(10, "preheat temperature", "320 F", place="web")
    bench.record(10, "preheat temperature", "320 F", place="flange")
    supersede(bench.shop, bench.clock, ADA, bench.number, 2, None, "entered in the wrong job")
    assert preheat(bench)["verdict"] == "met"
