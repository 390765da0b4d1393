"""One byte of the shop's file changed behind the program's back: verify names the event and its stream."""

import sqlite3
from pathlib import Path

import pytest
from acts_kit import STREAM, Bench

from traveler.acts.verify import verify
from traveler.errors import TravelerError


def behind_our_back(path: Path, *statements: str) -> None:
    """What the database shell can do: the triggers taken away, the change made, the triggers put back."""
    connection = sqlite3.connect(path, isolation_level=None)
    triggers = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    for name, _ in triggers:
        connection.execute(f'DROP TRIGGER "{name}"')
    for statement in statements:
        connection.execute(statement)
    for _, text in triggers:
        connection.execute(text)
    connection.close()


@pytest.mark.parametrize("seq", [1, 2, 5, 9])
def test_one_byte_is_named_with_event_and_stream(bench: Bench, seq: int) -> None:
    bench.through_preheat()
    for _ in range(4):
        bench.run_of_weld()
    assert verify(bench.shop.path).faults == ()
    body = bench.shop.events(STREAM)[seq - 1].body
    at = len(body) // 2
    other = "7" if body[at] != "7" else "8"
    behind_our_back(
        bench.shop.path,
        f"UPDATE event SET body = substr(body, 1, {at}) || '{other}' || substr(body, {at + 2})"
        f" WHERE stream = '{STREAM}' AND seq = {seq}",
    )
    found = verify(bench.shop.path)
    assert found.what == "shop file"
    assert found.faults[0].startswith(f"event {seq} of {STREAM}")


def test_a_board_that_was_painted_over_is_made_new_by_the_next_act(bench: Bench) -> None:
    behind_our_back(bench.shop.path, "UPDATE board SET state = 'closed', blocked_by = ''")
    bench.preheated()
    (row,) = bench.shop.board()
    assert (row.state, row.blocked_by) == ("in process", "not yet signed as performed")


@pytest.mark.parametrize(
    "content", [b"", b"x", b"\x00" * 5000, b"SQLite format 3\x00", b"[1, 2]", b"%PDF-1.7"]
)
@pytest.mark.parametrize("name", ["file.traveler", "file.json"])
def test_what_is_neither_is_said_so(tmp_path: Path, content: bytes, name: str) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(TravelerError) as refused:
        verify(path)
    assert str(refused.value)


def test_a_missing_file_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(TravelerError, match="is no file"):
        verify(tmp_path / "none")
    with pytest.raises(TravelerError, match="is no file"):
        verify(tmp_path)
