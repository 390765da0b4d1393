"""A job's line on the board: what the shop's file keeps of it, so that nobody works all jobs out to show a list."""

from dataclasses import dataclass
from typing import Literal

Need = Literal["decision", "signature", "readings", "time", "nothing"]
"""What a job takes next: somebody decides, somebody signs, work and its readings, a wait runs, or it has ended."""


@dataclass(frozen=True, slots=True)
class BoardRow:
    """One job on the board; a pure function of its events, made anew with every act.

    ``step`` names the step the job stands at ("40 Preheat J1"); ``blocked_by`` is a sentence, empty when nothing
    blocks. Both, and ``need``, hold from the last event until ``due_s``; from then on ``need_then`` and
    ``blocked_then``. ``due``: what comes due ("crack test"), at ``due_s`` seconds after 1970-01-01 UTC, None for
    nothing.
    ``nonconformances`` open, ``in_question``: readings that wait for an answer. ``last_by`` and ``last_deed``: who did
    what last. ``words`` is what is searched, as ``plain_name`` has it. ``program``: the edition that worked it out,
    empty for a line that holds no more than the first six.
    """

    number: str
    title: str
    state: str
    step: str
    blocked_by: str
    last_event_at: str
    part: str = ""
    need: Need = "readings"
    due_s: int | None = None
    due: str = ""
    need_then: Need = "readings"
    blocked_then: str = ""
    nonconformances: int = 0
    in_question: int = 0
    last_by: str = ""
    last_deed: str = ""
    words: str = ""
    program: str = ""
