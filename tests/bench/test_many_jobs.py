"""A file with many jobs is sound, and its board read by pages is the board read as a whole."""

from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from many_jobs import write_shop

from traveler.acts.board import EVERY, VIEWS, board_object, listed, searched, seconds, totals_of
from traveler.acts.verify import verify
from traveler.record.board import Line, View
from traveler.record.shop import Shop

JOBS = 150
NOW = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
LATER = datetime(2026, 3, 15, 12, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("many") / "many.traveler"
    write_shop(made, JOBS, NOW)
    return made


@pytest.fixture
def shop(path: Path) -> Iterator[Shop]:
    with Shop.open(path, watched=False) as opened:
        yield opened


@pytest.mark.slow
def test_the_file_verifies_with_its_board(path: Path) -> None:
    assert verify(path).faults == ()


def pages(shop: Shop, view: View, now: datetime, find: str, *, backwards: bool) -> list[Line]:
    reader, lines = shop.board_reader, list[Line]()
    asked = (view, seconds(now), searched(find))
    while True:
        if backwards:
            page = reader.before(*asked, lines[0].place if lines else None, 7)
            lines = [*page, *lines]
        else:
            page = reader.after(*asked, lines[-1].place if lines else None, 7)
            lines += page
        assert len(page) <= 7
        if not page:
            return lines


@pytest.mark.parametrize("now", [NOW, LATER])
@pytest.mark.parametrize("find", ["", "wing stay", "ANA  closed", "tray n-0012", "nobody at all"])
@pytest.mark.parametrize("name", VIEWS)
def test_pages_in_both_directions_are_the_view(shop: Shop, name: str, find: str, now: datetime) -> None:
    view = VIEWS[name]
    lines = pages(shop, view, now, find, backwards=False)
    assert pages(shop, view, now, find, backwards=True) == lines
    assert shop.board_reader.count(view, seconds(now), searched(find)) == len(lines)
    assert [row.number for row in listed(shop, now, name, find)] == [line.row.number for line in lines]
    # What belongs to the view, told from whole lines and not by SQL.
    needs = {
        "open": {"decision", "signature", "readings", "time"},
        "blocked": {"decision"},
        "sign": {"signature"},
    }
    needs |= {"due": needs["open"], "ended": {"nothing"}}
    expected = {
        row.number
        for row in shop.board()
        if board_object(row, now)["needs"] in needs[name]
        and all(word in row.words for word in find.casefold().split())
        and (name != "due" or row.due)
    }
    assert Counter(line.row.number for line in lines) == Counter(expected)
    for line in lines:
        assert shop.board_reader.line(view, seconds(now), searched(find), line.row.number) == line
        at = shop.board_reader.after(view, seconds(now), searched(find), line.place, 1, itself=True)
        assert at == [line]


def came(job: dict[str, Any]) -> bool:
    return job["due_at"] is not None and datetime.fromisoformat(job["due_at"]) <= NOW


def test_who_needs_somebody_stands_before_who_only_waits(shop: Shop) -> None:
    jobs = [board_object(row, NOW) for row in listed(shop, NOW, "open")]
    rank = {"decision": 1, "signature": 2, "readings": 3, "time": 4}
    order = [
        0 if job["due_at"] and datetime.fromisoformat(job["due_at"]) <= NOW else rank[job["needs"]]
        for job in jobs
    ]
    assert order == sorted(order)
    assert set(order) == {0, 1, 2, 3, 4}
    for kind in (0, 4):
        times = [job["due_at"] for job, place in zip(jobs, order, strict=True) if place == kind]
        assert times == sorted(times)
    newest_first = [row.number for row in shop.board()]
    for kind in (1, 2, 3):
        numbers = [job["number"] for job, place in zip(jobs, order, strict=True) if place == kind]
        assert numbers == sorted(numbers, key=newest_first.index)


def test_the_totals_are_those_of_the_lines(shop: Shop) -> None:
    for now in (NOW, LATER):
        jobs = [board_object(row, now) for row in shop.board()]
        totals = totals_of(shop, now)
        assert totals["needs"] == Counter(job["needs"] for job in jobs)
        dues = [datetime.fromisoformat(job["due_at"]) <= now for job in jobs if job["due_at"]]
        assert (totals["came"], totals["later"]) == (dues.count(True), dues.count(False))
        assert totals["nonconformances"] == sum(job["nonconformances"] for job in jobs) > 0


def test_the_list_of_all_has_the_newest_first(shop: Shop) -> None:
    numbers = [row.number for row in listed(shop, NOW)]
    assert numbers == [f"N-{number:05d}" for number in range(JOBS, 0, -1)]
    assert [line.row.number for line in shop.board_reader.after(EVERY, seconds(NOW), (), None, 3)] == numbers[
        :3
    ]
