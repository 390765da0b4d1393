"""The JSON export: the same bytes each time, read back whole, refused in one sentence when it is not one."""

import json
from typing import Any

import pytest
from example import CODE, bodies, closed_job

from traveler.errors import BadInput
from traveler.report.json_export import export_json, read_export


def exported(**changes: Any) -> bytes:
    whole = {"format": "traveler/1", "traveler": {}, "events": [], "head": CODE} | changes
    return json.dumps({key: value for key, value in whole.items() if value is not None}).encode()


def test_round_trip_keeps_everything() -> None:
    export = read_export(export_json(closed_job(), bodies(), CODE))
    assert export.traveler == closed_job()
    assert list(export.events) == bodies()
    assert export.head == CODE


def test_bytes_depend_on_content_alone() -> None:
    job = closed_job()
    backwards = dict(reversed(job.items()))
    assert export_json(job, bodies(), CODE) == export_json(backwards, bodies(), CODE)


def test_any_json_reader_finds_the_four_parts() -> None:
    raw = export_json(closed_job(), bodies(), CODE)
    assert raw.endswith(b"}\n")
    assert set(json.loads(raw)) == {"format", "traveler", "events", "head"}
    assert json.loads(raw)["format"] == "traveler/1"
    assert "Łukasz Őry-Ångström".encode() in raw


def test_no_escape_sequence_acts_when_the_file_is_shown() -> None:
    job = closed_job() | {"title": "a\x1b[2J\x9b31m\x7f\u202e\u2028z"}
    text = export_json(job, bodies(), CODE).decode()
    assert not set(text) & set("\x1b\x9b\x7f\u202e\u2028")
    assert read_export(text.encode()).traveler["title"] == job["title"]


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (b"", "not JSON"),
        (b"\xff\xfe", "byte 0 is not UTF-8"),
        (b"%PDF-1.7", "not JSON from line 1, column 1"),
        (b"[1]", 'expected a JSON object with "format"'),
        (b"[" * 100_000, "nested too deep"),
        (b"9" * 10_000, "thousands of digits"),
        (exported(format="traveler/2"), 'format: read "traveler/2", expected "traveler/1"'),
        (exported(events=None), "events: missing"),
        (exported(head=7), "head: read 7, expected a text"),
        (exported(traveler=[]), "traveler: read [], expected an object"),
        (exported(events=["{}", {"seq": 2}]), 'events[1]: read {"seq": 2}'),
        (exported(notes=""), '"notes": a traveler export has no such part'),
        (exported().replace(b'"head"', b'"head": "x", "head"'), '"head": stands twice'),
        (exported(traveler={"at_least": float("nan")}), "NaN: not a number"),
    ],
)
def test_what_is_no_export_is_refused_in_one_sentence(raw: bytes, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        read_export(raw)
    assert words in str(refused.value)
    assert "\n" not in str(refused.value)


def test_number_that_json_does_not_know_is_never_written() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        export_json({"at_least": float("inf")}, [], CODE)
