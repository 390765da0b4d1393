"""What the screen of a job has made as it opens: each step's state and what blocks it, and all of one step."""

import pytest
from tui_kit import app_on, press, screen_text

from traveler.job import view
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import JobState
from traveler.tui.screens.job import Job
from traveler.tui.session import Session


@pytest.mark.slow
async def test_readings_are_put_into_words_for_the_step_under_the_cursor_alone(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[int] = []
    whole = view._requirement

    def watched(state: JobState, step: StepPlan, requirement: Requirement) -> view.Json:
        made.append(step.number)
        return whole(state, step, requirement)

    app = app_on(session)
    async with app.run_test(size=(120, 40)) as pilot:
        monkeypatch.setattr(view, "_requirement", watched)
        await app.push_screen(Job(session, "H-014"))
        await pilot.pause()
        assert "not ready" in screen_text(app)
        assert made == [10]
        await press(pilot, "down", "up", "down")
        assert made == [10, 40]  # each once, though the cursor came twice
