"""A real pseudo-terminal around the app, and what it shows."""

import os
import sys
import time
from pathlib import Path

import pexpect
import pyte

SHEETS = Path(__file__).parents[2] / "fixtures" / "sheets"
START = (
    "import sys; from pathlib import Path; from traveler.tui.app import run; "
    "sys.exit(run(Path(sys.argv[1]), sys.argv[2], sys.argv[3] if len(sys.argv) > 3 else None))"
)
F10 = "\x1b[21~"


def make_shop(path: Path, sheet: str = "bracket.toml") -> None:
    """A new shop file with the job of one sheet."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.issue import issue
    from traveler.job.state import Person
    from traveler.record.shop import Shop

    with Shop.create(path) as shop:
        issue(shop, SystemClock(), Person("Otto Plan"), (SHEETS / sheet).read_bytes())


def readings(path: Path) -> list[dict[str, object]]:
    """The readings of the bracket's preheat, as another program sees them."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.look import look
    from traveler.record.shop import Shop

    with Shop.open(path, read_only=True) as shop:
        found: list[dict[str, object]] = look(shop, SystemClock(), "H-014")["steps"][0]["requirements"][0][
            "readings"
        ]
    return found


def environment(**changes: str) -> dict[str, str]:
    """An environment without anything that decides colours or sizes, but for ``changes``."""
    left_out = ("NO_COLOR", "COLORTERM", "COLUMNS", "LINES", "SSH_CONNECTION", "PYTHONIOENCODING", "LC_ALL")
    kept = {k: v for k, v in os.environ.items() if k not in left_out and not k.startswith("TEXTUAL")}
    root = str(Path(__file__).parents[2])
    return {**kept, "TERM": "xterm-256color", "LANG": "C.UTF-8", "PYTHONPATH": root, **changes}


class Terminal:
    """The app on a shop's file in a pty; ``display`` is what a person sees, ``raw`` every byte of it."""

    def __init__(self, shop: Path, *job: str, rows: int = 24, cols: int = 80, **changes: str) -> None:
        self.screen = pyte.Screen(cols, rows)
        self._stream = pyte.ByteStream(self.screen)
        self.raw = b""
        self.child = pexpect.spawn(
            sys.executable,
            ["-c", START, str(shop), "Ida Weld", *job],
            env=environment(**changes),
            dimensions=(rows, cols),
            timeout=5,
        )

    @property
    def display(self) -> str:
        """The lines of the screen."""
        return "\n".join(line.rstrip() for line in self.screen.display)

    def send(self, keys: str) -> None:
        """Write ``keys`` in one piece."""
        self.child.send(keys)

    def sees(self, text: str, seconds: float = 8.0) -> bool:
        """Whether ``text`` comes to stand on the screen; line breaks count as spaces."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            if text in " ".join(self.display.split()):
                return True
            self._read(0.05)
        return False

    def quiet(self, seconds: float) -> bytes:
        """What is written within so many seconds."""
        before = len(self.raw)
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            self._read(0.05)
        return self.raw[before:]

    def unread(self, seconds: float) -> None:
        """Let time pass without reading anything, as a line does that has stalled."""
        time.sleep(seconds)

    def ends(self, seconds: float = 8.0) -> int | None:
        """Exit status once the app has ended by itself; None where it has not or was killed by a signal."""
        end = time.monotonic() + seconds
        while time.monotonic() < end and self._read(0.05):
            pass
        self.child.wait()
        status: int | None = self.child.exitstatus
        return status

    def _read(self, seconds: float) -> bool:
        try:
            data = self.child.read_nonblocking(65536, timeout=seconds)
        except pexpect.TIMEOUT:
            return True
        except pexpect.EOF:
            return False
        self.raw += data
        self._stream.feed(data)
        return True

    def close(self) -> None:
        """End it, whatever it is doing."""
        self.child.close(force=True)
