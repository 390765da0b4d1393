"""An answer that is kept names all that it follows from: whatever it reads of a state while it is worked out."""

import json
from pathlib import Path

import pytest
from watched_state import Watched, Watching, kept_questions, shown_questions

from traveler.job.fold import fold
from traveler.job.state import JobState

LOGS = sorted((Path(__file__).parents[2] / "fixtures" / "logs").glob("*.json"))
EVERY = 9
"""Events from one state that is looked at to the next."""


def states(path: Path) -> list[JobState]:
    events = [json.loads(text) for text in json.loads(path.read_text())["events"]]
    return [fold(events[:count]) for count in {*range(1, len(events), EVERY), len(events)}]


@pytest.mark.parametrize("path", LOGS, ids=lambda path: path.stem)
def test_what_is_kept_names_what_it_reads(path: Path) -> None:
    asked, shown = set(), set()
    for state in states(path):
        asked |= kept_questions(state)
        shown |= shown_questions(state)
    assert shown <= asked, "a question is kept that nobody is held to: name it in watched_state"
    assert {"judge", "tally", "content", "deeds"} <= asked


def test_one_that_does_not_is_found() -> None:
    state = states(LOGS[0])[0]
    watching = Watching()
    watched = Watched(state.revisions, workings=watching)
    watched.workings.known("plan and points", (watched.revisions,), lambda: (watched.plan, watched.points))
    assert watching.unnamed == [("plan and points", "points")]
