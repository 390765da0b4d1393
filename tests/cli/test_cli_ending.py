"""How commands end: statuses, signals, readers that go away, errors that nobody foresaw, no terminal."""

import errno
import os
import signal
import subprocess
import sys
from pathlib import Path

import click
import pytest
from cli_kit import SHEET, Commands, refused

from traveler.cli.ending import Ending
from traveler.cli.whole_file import write_whole
from traveler.errors import BadSheet, TravelerError

posix = pytest.mark.skipif(os.name != "posix", reason="needs POSIX signals and devices")


@pytest.mark.parametrize(
    ("error", "status", "told"),
    [
        (TravelerError("the job is closed"), 2, "traveler: the job is closed\n"),
        (BadSheet(("one", "two")), 2, "traveler: one\ntraveler: two\n"),
        (TravelerError("job \x1b[31m\u202e\nred"), 2, "traveler: job \\x1b[31m\\u202e\\nred\n"),
        (click.UsageError("No such thing."), 2, "traveler: no such thing; see traveler --help\n"),
        (ZeroDivisionError("by zero"), 2, "traveler: could not be done: ZeroDivisionError: by zero\n"),
        (MemoryError(), 2, "traveler: could not be done: MemoryError: \n"),
        (
            OSError(errno.EIO, "Input/output error", "x"),
            2,
            "traveler: could not be done: x: Input/output error\n",
        ),
        (KeyboardInterrupt(), 130, ""),
        (click.Abort(), 130, ""),
    ],
    ids=lambda value: type(value).__name__ if isinstance(value, BaseException) else "",
)
def test_whatever_happens_is_told_in_a_sentence(
    error: BaseException,
    status: int,
    told: str,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv("TRAVELER_DEBUG", raising=False)
    with Ending() as ending:
        raise error
    assert ending.status == status
    assert capsys.readouterr().err == told


def test_the_traceback_is_there_for_who_asks(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TRAVELER_DEBUG", "1")
    with Ending():
        raise ZeroDivisionError
    assert "Traceback" in capsys.readouterr().err


@posix
def test_an_interruption_is_130_without_a_word(traveler: Commands, tmp_path: Path) -> None:
    sheet = tmp_path / "pipe"
    os.mkfifo(sheet)
    waiting = subprocess.Popen(
        [sys.executable, "-m", "traveler", "plan", str(sheet)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=traveler.outside(),
    )
    with open(sheet, "wb"):  # opens once the command reads, and it waits for a sheet that does not come
        waiting.send_signal(signal.SIGINT)
        out, err = waiting.communicate(timeout=30)
    assert waiting.returncode == 130
    assert (out, err.strip()) == (b"", b"")


@pytest.mark.slow
@posix
def test_a_reader_that_stops_early_changes_no_status(issued: Commands) -> None:
    for arguments, expected in ((("show", "B-101"), 0), (("record", "B-101", "20", "gap", "9 mm"), 1)):
        reading_end, writing_end = os.pipe()
        os.close(reading_end)
        ended = subprocess.run(
            [sys.executable, "-m", "traveler", *arguments],
            stdout=writing_end,
            stderr=subprocess.PIPE,
            env=issued.outside(),
            timeout=30,
        )
        os.close(writing_end)
        assert (ended.returncode, ended.stderr) == (expected, b"")


@posix
@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("list",), "could not be written"),
        (("list", "--json"), "could not be written"),
        (("record", "B-101", "20", "gap", "1 mm"), "this is in the record"),
        (("export", "B-101", "--format", "json", "-o", "-"), "not whole"),
    ],
    ids=lambda value: value[0] if isinstance(value, tuple) else "",
)
def test_a_full_disk_behind_the_output(issued: Commands, arguments: tuple[str, ...], told: str) -> None:
    if not Path("/dev/full").exists():
        pytest.skip("this system has no /dev/full")
    with open("/dev/full", "wb") as full:
        ended = subprocess.run(
            [sys.executable, "-m", "traveler", *arguments],
            stdout=full,
            stderr=subprocess.PIPE,
            env=issued.outside(),
            timeout=30,
            text=True,
        )
    assert ended.returncode == 2
    assert told in ended.stderr
    assert len(ended.stderr.splitlines()) == 1


@pytest.mark.slow
def test_a_terminal_without_the_letters_shows_their_numbers(traveler: Commands, tmp_path: Path) -> None:
    sheet = tmp_path / "umlaut.toml"
    sheet.write_text(SHEET.replace("Wishbone pickup", "Lenkeraufnahme, Spur für Ω"), encoding="utf-8")
    assert traveler("new", sheet).status == 0
    ascii_only = {"PYTHONIOENCODING": "ascii"}
    shown = traveler.process("show", "B-101", environment=ascii_only)
    assert shown.status == 0
    assert "f\\xfcr \\u03a9" in shown.out
    # JSON stays what it is.
    title = traveler.process("show", "B-101", "--json", environment=ascii_only).json["title"]
    assert title == "Lenkeraufnahme, Spur für Ω [A36] [/]"


@pytest.mark.parametrize(
    "environment", [{}, {"TERM": "dumb"}, {"PYTHONIOENCODING": "latin-1"}], ids=["pipe", "dumb", "latin-1"]
)
def test_without_a_terminal_the_app_names_the_text_commands(
    traveler: Commands, environment: dict[str, str]
) -> None:
    sentence = refused(traveler.process(environment=environment))
    assert "traveler list" in sentence
    assert not traveler.shop.exists()


@pytest.mark.slow
def test_the_demo_as_text(traveler: Commands, tmp_path: Path) -> None:
    folder = tmp_path / "temporary"
    folder.mkdir()
    shown = traveler.process("demo", environment={"TMPDIR": str(folder)})
    assert (shown.status, shown.err) == (0, "")
    assert "invented" in shown.out.splitlines()[0]
    blocked = shown.out.index("What blocks it:")
    assert "readings needed" in shown.out[blocked:].splitlines()[1]
    assert "STEP 10, cut" in shown.out
    assert not traveler.shop.exists()
    assert list(folder.iterdir()) == []


@pytest.mark.terminal
@posix
def test_the_app_opens_where_there_is_a_terminal(traveler: Commands) -> None:
    pexpect = pytest.importorskip("pexpect")
    child = pexpect.spawn(
        sys.executable,
        ["-m", "traveler"],
        env=traveler.outside({"TERM": "xterm-256color", "PYTHONIOENCODING": "utf-8"}),
        dimensions=(24, 80),
        timeout=30,
    )
    child.expect_exact("\x1b[?1049h")  # the alternate screen: the app draws
    child.sendcontrol("q")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0
    assert traveler("list").out == "No jobs.\n"


def test_a_file_is_replaced_in_one_step(tmp_path: Path) -> None:
    target = tmp_path / "out.txt"
    target.write_bytes(b"before")
    link = tmp_path / "link.txt"
    link.symlink_to(target)
    write_whole(link, b"after")
    assert link.is_symlink()
    assert target.read_bytes() == b"after"
    assert sorted(os.listdir(tmp_path)) == ["link.txt", "out.txt"]


@posix
def test_a_pipe_is_written_to(issued: Commands, tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with subprocess.Popen(["cat", str(pipe)], stdout=subprocess.PIPE) as reader:
        assert issued("export", "B-101", "--format", "text", "-o", pipe).status == 0
        assert reader.communicate(timeout=30)[0].startswith(b"TRAVELER B-101")
    assert pipe.is_fifo()


def test_whole_file_refuses_a_name_too_long(tmp_path: Path) -> None:
    with pytest.raises(TravelerError, match="too long"):
        write_whole(tmp_path / ("x" * 300), b"content")
    assert list(tmp_path.iterdir()) == []
