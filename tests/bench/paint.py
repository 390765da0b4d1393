"""From the start of a process to the first word of its screen, in a pseudo-terminal of 80 by 24."""

import sys
from collections.abc import Sequence
from time import perf_counter

import pexpect

_BARE = """
from textual.app import App
from textual.widgets import Static
class Bare(App):
    def compose(self):
        yield Static("DEMO-0")
Bare().run(mouse=False)
"""

BARE_APP = [sys.executable, "-c", _BARE]
BOARD = [sys.executable, "-c", "from traveler.cli.main import main; main()"]
WORD = b"DEMO-"
LONGEST_S = 30


def paint_s(command: Sequence[str]) -> float:
    """Seconds until the terminal is sent the number of a job; the app is then told to leave."""
    began = perf_counter()
    child = pexpect.spawn(command[0], list(command[1:]), dimensions=(24, 80), timeout=LONGEST_S)
    try:
        child.expect_exact(WORD)
        took = perf_counter() - began
        child.sendcontrol("q")
        child.expect(pexpect.EOF)
    finally:
        child.close(force=True)
    return took
