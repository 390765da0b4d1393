"""The completed traveler handed out: the same bytes each time, and every alteration named."""

import hashlib
import json
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from acts_kit import ADA, BRAM, CLEO, STREAM, Bench, HandClock, issued, sheet
from shop_copies import copied

from traveler.acts.issue import close, revise
from traveler.acts.look import Format, export
from traveler.acts.readings import attach, retry, supersede
from traveler.acts.verify import Checked, verify
from traveler.record.shop import Shop

Change = Callable[[dict[str, Any]], None]


@pytest.fixture
def full(tmp_path: Path) -> Iterator[Bench]:
    """A job with some of everything, closed."""
    instant = copied(tmp_path / "shop.traveler", build_full)
    with Shop.open(tmp_path / "shop.traveler") as shop:
        yield Bench(shop, HandClock(instant))


def build_full(path: Path) -> datetime:
    for bench in issued(path):
        some_of_everything(bench)
    return bench.clock.instant


def some_of_everything(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "250 F", place="web [A36] [/]")
    retry(bench.shop, bench.clock, BRAM, bench.number, 10, "preheat temperature", None, "wind, door open")
    bench.record(10, "preheat temperature", "32 F", place="Träger, Ω", by=CLEO)
    supersede(bench.shop, bench.clock, CLEO, bench.number, 2, "320 F", "a figure was left out")
    bench.record(10, "preheat temperature", "310 F", place="flange", at="2026-03-02T05:00+01:00")
    attach(bench.shop, bench.clock, BRAM, bench.number, 10, "edge.jpg", b"invented", "photo")
    bench.perform(10)
    bench.accept(10)
    revise(bench.shop, bench.clock, ADA, bench.number, sheet(title="Link tab, renamed"), "a better title")
    bench.through_weld()
    bench.record(30, "cooling after welding", "slow cooled under cover")
    bench.record(30, "uncovering temperature", "120 F")
    bench.perform(30)
    bench.accept(30)
    bench.clock.pass_by(50 * 60)
    bench.record(40, "wait before test", "49 h")
    bench.record(40, "visual result", "accepted")
    bench.record(40, "crack test", "no relevant indications")
    bench.perform(40)
    bench.accept(40)
    assert close(bench.shop, bench.clock, ADA, bench.number).recorded


@pytest.mark.parametrize("form", ["json", "text", "pdf"])
def test_the_same_record_gives_the_same_bytes_and_no_event(full: Bench, form: Format) -> None:
    before = full.bodies()
    first = export(full.shop, full.number, form)
    full.clock.pass_by(10_000)
    assert export(full.shop, full.number, form) == first
    assert full.bodies() == before
    assert len(first) > 1000


@pytest.mark.parametrize("events", [1, 5, 9])
def test_an_open_job_exports_and_verifies_too(bench: Bench, tmp_path: Path, events: int) -> None:
    while len(bench.bodies()) < events:
        bench.record(10, "preheat temperature", "250 F", place="web")
    path = tmp_path / "open.json"
    path.write_bytes(export(bench.shop, bench.number, "json"))
    assert verify(path).faults == ()
    assert b"DRAFT" in export(bench.shop, bench.number, "text")


def altered(bench: Bench, tmp_path: Path, change: Change) -> Checked:
    data = json.loads(export(bench.shop, bench.number, "json"))
    change(data)
    path = tmp_path / "altered.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    return verify(path)


def test_an_export_is_unaltered_also_when_written_anew_in_another_order(full: Bench, tmp_path: Path) -> None:
    found = altered(full, tmp_path, lambda data: None)
    assert (found.what, found.faults, found.events) == ("export of job A-101", (), len(full.bodies()))
    assert found.code == json.loads(export(full.shop, full.number, "json"))["head"]


def test_an_export_without_our_links_verifies_by_its_code(full: Bench, tmp_path: Path) -> None:
    """The object of the contract has no links: another program may write it without."""

    def without(data: dict[str, Any]) -> None:
        del data["links"]

    assert altered(full, tmp_path, without).faults == ()

    def and_altered(data: dict[str, Any]) -> None:
        without(data)
        data["events"] = [body.replace('"310"', '"410"') for body in data["events"]]

    (fault,) = altered(full, tmp_path, and_altered).faults
    assert "one was altered" in fault


@pytest.mark.slow
def test_one_character_of_any_event_is_named_with_its_event(full: Bench, tmp_path: Path) -> None:
    raw = json.loads(export(full.shop, full.number, "json"))
    for place, body in enumerate(raw["events"]):
        for at in (0, len(body) // 3, len(body) // 2, len(body) - 1):
            other = body[:at] + ("x" if body[at] != "x" else "y") + body[at + 1 :]

            def change(data: dict[str, Any], place: int = place, other: str = other) -> None:
                data["events"][place] = other

            (fault, *_) = altered(full, tmp_path, change).faults
            assert fault.startswith((f"event {place + 1} of {STREAM} is altered", "event 1 is altered"))
            assert place == 0 or not fault.startswith("event 1 is altered")


@pytest.mark.parametrize("other", ["", "[]", "{}", "null", '"', "\ud800", '{"act": []}', "[" * 100_000])
def test_an_event_turned_into_nonsense_is_named(full: Bench, tmp_path: Path, other: str) -> None:
    for place in (0, 3):

        def change(data: dict[str, Any], place: int = place) -> None:
            data["events"][place] = other

        (fault, *_) = altered(full, tmp_path, change).faults
        assert fault.startswith(f"event {place + 1} ")


def leaves(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The place of every printed value in an object."""
    if isinstance(value, dict):
        return [leaf for key in value for leaf in leaves(value[key], (*path, key))]
    if isinstance(value, list) and value:
        return [leaf for index, item in enumerate(value) for leaf in leaves(item, (*path, index))]
    return [path]


@pytest.mark.slow
def test_every_printed_field_is_compared(full: Bench, tmp_path: Path) -> None:
    """Each of the hundreds of values in the printed object, altered alone, is named by its place."""
    raw = json.loads(export(full.shop, full.number, "json"))
    places = leaves(raw["traveler"])
    assert len(places) > 500
    path = tmp_path / "altered.json"
    for place in places[:: max(1, len(places) // 250)]:
        data = json.loads(json.dumps(raw))
        inside = data["traveler"]
        for key in place[:-1]:
            inside = inside[key]
        old = inside[place[-1]]
        inside[place[-1]] = {bool: not old, int: 77}.get(type(old), "another")
        path.write_text(json.dumps(data), encoding="utf-8")
        (fault,) = verify(path).faults
        name = "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in place)
        assert fault.startswith(f"traveler{name} is printed as ")


@pytest.mark.parametrize(("old", "new"), [(False, 0), (True, 1), (1, True)])
def test_a_flag_is_not_a_number(full: Bench, tmp_path: Path, old: object, new: object) -> None:
    def change(data: dict[str, Any]) -> None:
        place = data["traveler"]["steps"][0]["requirements"][0]
        if old is False:
            place["undetermined"] = new
        elif old is True:
            place["readings"][1]["superseded"] = new
        else:
            data["traveler"]["revisions"][0]["revision"] = new

    assert len(altered(full, tmp_path, change).faults) == 1


def drop_field(data: dict[str, Any]) -> None:
    del data["traveler"]["closed"]


def add_field(data: dict[str, Any]) -> None:
    data["traveler"]["approved"] = True


def drop_reading(data: dict[str, Any]) -> None:
    del data["traveler"]["steps"][0]["requirements"][0]["readings"][0]


def drop_last_event(data: dict[str, Any]) -> None:
    data["events"].pop()


def drop_last_event_and_link(data: dict[str, Any]) -> None:
    data["events"].pop()
    data["links"].pop()


def drop_first(data: dict[str, Any]) -> None:
    data["events"].pop(0)
    data["links"].pop(0)


def drop_one_between(data: dict[str, Any]) -> None:
    del data["events"][4], data["links"][4]


def change_head(data: dict[str, Any]) -> None:
    data["head"] = data["traveler"]["head"] = "AAAA-AAAA-AAAA-AAAA"


def reorder(data: dict[str, Any]) -> None:
    data["events"][4:6] = reversed(data["events"][4:6])


def reorder_with_links(data: dict[str, Any]) -> None:
    reorder(data)
    data["links"][4:6] = reversed(data["links"][4:6])


def twice(data: dict[str, Any]) -> None:
    data["events"].append(data["events"][-1])
    data["links"].append(data["links"][-1])


def alter_link(data: dict[str, Any]) -> None:
    data["links"][2] = "00" * 32


def no_events(data: dict[str, Any]) -> None:
    data["events"], data["links"] = [], []


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (drop_field, "traveler.closed is missing"),
        (add_field, "traveler.approved is not of the events"),
        (drop_reading, "traveler.steps[0].requirements[0].readings is printed as"),
        (drop_last_event, "events stand beside"),
        (drop_last_event_and_link, "the code of the last event"),
        (drop_first, "event 1 of job A-101 is altered"),
        (drop_one_between, "event 5 of job A-101 is altered"),
        (change_head, "the code of the last event"),
        (reorder, "event 5 of job A-101 is altered"),
        (reorder_with_links, "event 5 of job A-101 is altered"),
        (twice, f"event {30} of job A-101 is altered"),
        (alter_link, "event 3 of job A-101 is altered"),
        (no_events, "there are no events"),
    ],
)
def test_every_kind_of_alteration_is_named(full: Bench, tmp_path: Path, change: Change, said: str) -> None:
    said = said.replace("30", str(len(full.bodies()) + 1)) if change is twice else said
    (fault, *_) = altered(full, tmp_path, change).faults
    assert said in fault


def forged(data: dict[str, Any], events: list[str]) -> None:
    """Work out every link and the code anew, as anybody can who has the documentation."""
    import base64

    first = json.loads(events[0])
    link = hashlib.sha256((first["act"]["shop"] + first["stream"]).encode()).digest()
    links = []
    for body in events:
        link = hashlib.sha256(link + body.encode()).digest()
        links.append(link.hex())
    letters = base64.b32encode(link[:10]).decode()
    head = "-".join(letters[start : start + 4] for start in range(0, 16, 4))
    data.update(events=events, links=links, head=head)
    data["traveler"]["head"] = head


def test_a_forgery_throughout_shows_another_code_and_its_printed_fields(full: Bench, tmp_path: Path) -> None:
    """Links that were all computed anew fit together: what was printed from the events gives it away, and where
    that was altered too only the code noted on paper does."""
    noted = json.loads(export(full.shop, full.number, "json"))["head"]

    def forge(data: dict[str, Any]) -> None:
        forged(data, [body.replace('"250"', '"350"').replace("250 F", "350 F") for body in data["events"]])

    found = altered(full, tmp_path, forge)
    assert found.code != noted
    assert any(
        'readings[0].value is printed as "250"; the events say "350"' in fault for fault in found.faults
    )

    def forge_all(data: dict[str, Any]) -> None:
        forge(data)
        text = json.dumps(data["traveler"]).replace('"250"', '"350"').replace("250 F", "350 F")
        data["traveler"] = json.loads(text)
        reading = data["traveler"]["steps"][0]["requirements"][0]["readings"][0]
        reading.update(shown="350 °F (176.7 °C)", verdict="met")

    found = altered(full, tmp_path, forge_all)
    # Which digests and sentences follow from the reading has to be known as well, and even then:
    assert found.code != noted


@pytest.mark.parametrize(
    "alter",
    [
        lambda act: act.pop("plan"),
        lambda act: act.update(plan=[]),
        lambda act: act["plan"].update(steps=[None]),
        lambda act: act["plan"].update(materials="x"),
        lambda act: act["plan"]["steps"][0]["requirements"][0].update(
            at_least={"value": "x", "unit": "degF"}
        ),
        lambda act: act["plan"]["steps"][0]["requirements"][0].update(unit=5),
        lambda act: act["plan"]["steps"][0].update(number=None),
    ],
)
def test_a_forgery_that_cannot_be_followed_is_a_sentence(
    full: Bench, tmp_path: Path, alter: Callable[[dict[str, Any]], None]
) -> None:
    def change(data: dict[str, Any]) -> None:
        place = next(at for at, body in enumerate(data["events"]) if '"traveler revised"' in body)
        event = json.loads(data["events"][place])
        alter(event["act"])
        text = json.dumps(event, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
        forged(data, [*data["events"][:place], text, *data["events"][place + 1 :]])

    assert altered(full, tmp_path, change).faults
