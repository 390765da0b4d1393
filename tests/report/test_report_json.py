"""The JSON export: the same bytes each time, read back whole, refused in one sentence when it is not one."""

import json
from typing import Any

import pytest
from example import CODE, bodies, closed_job

from traveler.errors import BadInput
from traveler.report.json_export import export_json, read_export

LINKS = ["0f" * 32, "a1" * 32]


def exported(**changes: Any) -> bytes:
    whole = {"format": "traveler/1", "traveler": {}, "events": [], "head": CODE} | changes
    return json.dumps({key: value for key, value in whole.items() if value is not None}).encode()


def test_round_trip_keeps_everything() -> None:
    export = read_export(export_json(closed_job(), bodies(), LINKS, CODE))
    assert export.traveler == closed_job()
    assert list(export.events) == bodies()
    assert list(export.links) == LINKS
    assert export.head == CODE


def test_export_without_links_is_read_too() -> None:
    assert read_export(exported()).links == ()


def test_bytes_depend_on_content_alone() -> None:
    job = closed_job()
    backwards = dict(reversed(job.items()))
    assert export_json(job, bodies(), LINKS, CODE) == export_json(backwards, bodies(), LINKS, CODE)


def test_any_json_reader_finds_the_parts() -> None:
    raw = export_json(closed_job(), bodies(), LINKS, CODE)
    assert raw.endswith(b"}\n")
    assert set(json.loads(raw)) == {"format", "traveler", "events", "links", "head"}
    assert json.loads(raw)["format"] == "traveler/1"
    assert "Łukasz Őry-Ångström".encode() in raw


def test_no_escape_sequence_acts_when_the_file_is_shown() -> None:
    job = closed_job() | {"title": "a\x1b[2J\x9b31m\x7f\u202e\u2028z"}
    text = export_json(job, bodies(), LINKS, CODE).decode()
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
        (exported(links=["ab", None]), "links[1]: read null, expected a text"),
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
        export_json({"at_least": float("inf")}, [], [], CODE)
