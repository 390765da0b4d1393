"""What was typed and not recorded: listed, taken up as it was with the time of then, thrown away, never lost unsaid."""

import os
from datetime import timedelta
from typing import Any

import pytest
from tui_kit import TickingClock, app_on, one_line, press, screen_text, typed

from traveler.record.unfinished import UnfinishedFile
from traveler.tui.drafts import Draft, Drafts
from traveler.tui.screens.board import Board
from traveler.tui.screens.reading import Reading
from traveler.tui.screens.unfinished import Unfinished
from traveler.tui.session import Session

pytestmark = pytest.mark.slow

SIZE = (80, 24)
TO_A_FORM = ("enter", "down", "enter", "enter")


async def test_a_reading_taken_up_later_keeps_the_time_at_which_it_was_typed(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, *TO_A_FORM, *typed("312 F"), "escape", "escape", "escape")
        session._clock._now += timedelta(minutes=30)
        assert isinstance(app.screen, Board)
        await press(pilot, "u")
        assert "H-014 step 40: Record preheat temperature of J1" in one_line(screen_text(app))
        await press(pilot, "enter")
        assert isinstance(app.screen, Reading)
        assert "what you typed at 08:00 is back" in screen_text(app)
        assert app.screen.values()["at"] == "2026-03-14T08:00+00:00"
        await press(pilot, "tab", *typed("plate"), "f10")
        assert isinstance(app.screen, Board)
        assert "reading 1 recorded" in one_line(screen_text(app))
    (reading,) = session.job("H-014")["steps"][1]["requirements"][0]["readings"]
    assert reading["happened_at"] == "2026-03-14T08:00:00+00:00"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"step": 77}, "step 77 is no longer on the traveler of H-014"),
        ({"about": "40.gone|J1"}, "step 40 of H-014 no longer asks for this: Record glow"),
        ({"job": "H-999"}, "H-999"),
    ],
)
async def test_an_entry_whose_requirement_is_gone_is_said_and_stays(
    session: Session, change: dict[str, Any], said: str
) -> None:
    lost = {"form": "Record", "job": "H-014", "step": 40, "about": "40.preheat temperature|J1", **change}
    session.drafts.keep(Draft("glow", {"value": "312 F"}, "Record glow", **lost))
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        assert isinstance(app.screen, Unfinished)
        await press(pilot, "enter")
        assert said in one_line(screen_text(app))
        assert "what was typed stays here" in one_line(screen_text(app))
        assert "312 F" in screen_text(app)
        await press(pilot, "d")
        assert "press d again" in one_line(screen_text(app))
        assert session.drafts
        await press(pilot, "d")
        assert "thrown away" in one_line(screen_text(app))
        assert not session.drafts


async def test_where_the_form_has_no_way_of_its_own_its_step_is_opened(session: Session) -> None:
    session.drafts.keep(
        Draft("Open a nonconformance H-014 40", {"what": "a crack"}, "Open a nonconformance", "", "H-014", 40)
    )
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "enter")
        assert "what was typed comes back with the form: Open a nonconformance" in one_line(screen_text(app))
        await press(pilot, "n", "n")
        assert "a crack" in screen_text(app)


def kept(monkeypatch: pytest.MonkeyPatch, tmp_path: Any) -> UnfinishedFile:
    """The file of a session."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    return UnfinishedFile("a" * 32)


def test_what_is_private_never_reaches_the_disk(monkeypatch: pytest.MonkeyPatch, tmp_path: Any) -> None:
    file = kept(monkeypatch, tmp_path)
    drafts = Drafts(TickingClock())
    drafts.keep_in(file, "Ida")
    drafts.keep(Draft("x", {"name": "hunter2", "with": "Tom"}, private=frozenset({"name"})))
    written = b"".join(path.read_bytes() for path in tmp_path.rglob("*") if path.is_file())
    assert b"Tom" in written
    assert b"hunter2" not in written
    assert drafts["x"]["name"] == "hunter2"
    drafts.keep(Draft("x", {"name": "hunter2", "with": ""}, private=frozenset({"name"})))
    assert not [path for path in tmp_path.rglob("*") if path.is_file()]


def test_the_oldest_gives_way_where_there_is_too_much(monkeypatch: pytest.MonkeyPatch, tmp_path: Any) -> None:
    file = kept(monkeypatch, tmp_path)
    drafts = Drafts(TickingClock())
    drafts.keep_in(file, "Ida")
    for number in range(40):
        drafts.keep(Draft(f"draft {number}", {"a": f"{number} " + "é" * 500}))
    written = b"".join(path.read_bytes() for path in tmp_path.rglob("*.json"))
    assert b"draft 39" in written
    assert b"draft 0" not in written
    assert len(written) <= 64 * 1024
    assert len(drafts) == 40


def test_a_session_takes_over_what_its_own_name_left_behind_and_no_longer_than_two_weeks(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Any
) -> None:
    left = Drafts(TickingClock())
    before = kept(monkeypatch, tmp_path)
    left.keep_in(before, "Ida")
    left.keep(Draft("x", {"value": "312 F"}, "Record x", "Record", "H-014", 40, "x"))
    os.close(before._lock)  # as the system does once the session is no more
    of_another = Drafts(TickingClock())
    assert of_another.keep_in(UnfinishedFile("a" * 32), "Otto") == 0
    of_the_same = Drafts(TickingClock())
    after = UnfinishedFile("a" * 32)
    assert of_the_same.keep_in(after, "Ida") == 1
    draft = of_the_same.draft("x")
    assert draft is not None
    assert (draft.values, draft.job, draft.step, draft.form) == ({"value": "312 F"}, "H-014", 40, "Record")
    os.close(after._lock)
    late = TickingClock()
    late._now += timedelta(days=15)
    assert Drafts(late).keep_in(UnfinishedFile("a" * 32), "Ida") == 0
    assert not list(tmp_path.rglob("*.json"))


def test_the_same_form_left_by_two_sessions_is_there_twice(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Any
) -> None:
    for value in ("311 F", "322 F"):
        left, file = Drafts(TickingClock()), kept(monkeypatch, tmp_path)
        left._file, left._by = file, "Ida"  # neither took over the other's: both were at work
        left.keep(Draft("x", {"value": value}))
        os.close(file._lock)
    both = Drafts(TickingClock())
    assert both.keep_in(UnfinishedFile("a" * 32), "Ida") == 2
    assert {value["value"] for value in both.values()} == {"311 F", "322 F"}
    assert set(both) == {"x", "x (2)"}
