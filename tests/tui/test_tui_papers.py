"""A job's papers written from the app: the same bytes as the commands give, under a name that is free."""

import json
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from closed_kit import IDA, build_with_part
from shop_copies import copied
from textual.pilot import Pilot
from tui_kit import TickingClock, app_on, one_line, press, screen_text, typed

from traveler.acts.look import export
from traveler.record.shop import Shop
from traveler.tui.entered import FieldFault
from traveler.tui.papers import FORMS, PACKET, WHICH
from traveler.tui.screens.job import Job
from traveler.tui.screens.papers import Papers
from traveler.tui.session import Session

JOB = "A-101"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Shop]:
    path = tmp_path / "parts.traveler"
    copied(path, build_with_part)
    monkeypatch.chdir(tmp_path)
    with Shop.open(path) as opened:
        yield opened


@pytest.fixture
def session(shop: Shop) -> Session:
    return Session(shop, TickingClock(), IDA)


def entered(which: str, **fields: str) -> dict[str, str]:
    blank = dict.fromkeys(("file", "sheets", "steps", "temperature", "time"), "")
    return {**blank, "which": which, **fields}


async def until_written(pilot: Pilot[Any]) -> None:
    while isinstance(pilot.app.screen, Papers):
        await pilot.pause(0.05)


@pytest.mark.parametrize("which", [which for which in FORMS if which != "traveler, PDF"])
def test_each_form_is_what_the_command_writes(shop: Shop, session: Session, which: str) -> None:
    told = session.papers(JOB).write(entered(which))
    form, ending = FORMS[which]
    content = Path(f"{JOB}{ending}").read_bytes()
    assert content == export(shop, JOB, form)
    size = f"{len(content):,}".replace(",", " ")
    assert told.words.endswith(f"{JOB}{ending}, {size} bytes")


def test_nothing_is_recorded_by_it(shop: Shop, session: Session) -> None:
    before = session.events(JOB)
    session.papers(JOB).write(entered("traveler, JSON"))
    assert session.events(JOB) == before


@pytest.mark.slow
def test_paper_for_the_shop_and_a_packet(session: Session) -> None:
    door = session.papers(JOB)
    for which in WHICH:
        if "PDF" in which:
            told = door.write(entered(which, file=f"{WHICH.index(which)}.pdf"))
            assert told.recorded
            assert Path(f"{WHICH.index(which)}.pdf").read_bytes().startswith(b"%PDF")
    told = door.write(entered(PACKET))
    assert "its code, to note somewhere else: " in told.words
    with zipfile.ZipFile(f"{JOB}.zip") as packed:
        assert packed.testzip() is None


@pytest.mark.parametrize(
    ("which", "fields", "field", "words"),
    [
        ("", {}, "which", "choose what is written"),
        ("traveler, PDF", {"steps": "40"}, "steps", "belongs to a blank traveler"),
        ("readings, CSV", {"sheets": "a4"}, "sheets", "belongs to what is printed"),
        ("label for the part, PDF", {"temperature": "310 F"}, "temperature", "belongs to a tag"),
        ("blank traveler, PDF", {"steps": "41"}, "steps", "41: job A-101 has the steps 40, 90"),
        ("tag for a hot part, PDF", {"temperature": "hot"}, "temperature", "hot"),
        ("traveler, text", {"file": "parts.traveler"}, "file", "is there already and stays as it is"),
        ("traveler, text", {"file": "."}, "file", "is a folder"),
    ],
)
def test_what_cannot_be_is_said_at_its_field(
    session: Session, which: str, fields: dict[str, str], field: str, words: str
) -> None:
    with pytest.raises(FieldFault, match=words) as fault:
        session.papers(JOB).write(entered(which, **fields))
    assert fault.value.field == field
    assert not str(fault.value).startswith("--")


def test_a_number_with_signs_in_it_gives_a_name_that_can_be(session: Session) -> None:
    assert session.papers("B/208 [7]").name("traveler, JSON") == "B-208-7.json"


async def test_it_is_written_from_the_job(session: Session, tmp_path: Path) -> None:
    app = app_on(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.push_screen(Job(session, JOB))
        await press(pilot, "w", "4", "tab", *typed("out.json"), "f10")
        await until_written(pilot)
        assert f"written: {tmp_path / 'out.json'}"[:40] in one_line(screen_text(app))
    assert json.loads(Path("out.json").read_bytes())["traveler"]["job"] == JOB
