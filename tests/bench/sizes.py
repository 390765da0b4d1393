"""How much is measured: what the table asks for, a few of everything to see that it runs, or several sizes."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Sizes:
    """Runs of each kind, and the sizes of what is measured. Where there are several, each is measured.

    ``rounds`` of whole processes; ``long_rounds`` of what takes seconds; ``event_rounds`` of what looks at all of so
    many ``events``, and takes a minute; ``readings`` one after another in a session; ``sessions`` at once of
    ``readings_each``. ``keys`` at most are pressed in the app, in each of ``app_runs``.
    """

    rounds: int = 15
    long_rounds: int = 5
    joints: tuple[int, ...] = (40,)
    few_jobs: int = 10
    many_jobs: tuple[int, ...] = (10_000,)
    job_events: tuple[int, ...] = (2_000,)
    readings: int = 60
    readings_before: tuple[int, ...] = (0,)
    sessions: tuple[int, ...] = (20,)
    readings_each: int = 100
    session_rounds: int = 3
    chart_rows: tuple[int, ...] = (83_334,)
    events: tuple[int, ...] = (1_000_000,)
    event_rounds: int = 3
    idle_s: float = 20.0
    keys: int = 1_000
    app_runs: int = 3


USUAL = Sizes()

FULL = Sizes(events=(1_000_000, 5_000_000), long_rounds=3)

SHORT = Sizes(
    rounds=1, long_rounds=1, joints=(2,), many_jobs=(40,), job_events=(60,), readings=3, sessions=(2,), readings_each=3,
    session_rounds=1, chart_rows=(800,), events=(600,), event_rounds=1, idle_s=1.0, keys=4, app_runs=1,
)  # fmt: skip

GROWTH = Sizes(
    rounds=5, long_rounds=3, joints=(10, 20, 40, 80), many_jobs=(100, 1_000, 10_000), job_events=(500, 2_000, 8_000),
    readings=20, readings_before=(0, 500, 2_000), sessions=(5, 20), session_rounds=1, chart_rows=(8_333, 83_334),
    events=(20_000, 200_000),
)  # fmt: skip
"""How cost grows: each at several sizes, fewer times."""
