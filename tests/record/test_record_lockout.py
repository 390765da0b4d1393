"""Waits after wrong tries: 5 free, then 30 s, doubling up to an hour, whatever the clock does."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traveler.record.lockout import Tries, end_of_wait, one_more

START = datetime(2026, 3, 2, 12, tzinfo=UTC)


def seconds(count: float) -> timedelta:
    return timedelta(seconds=count)


@pytest.mark.parametrize(
    ("failures", "wait_s"),
    # Doubling from 30 s by hand; the 12th would be 3840 s and is held at an hour.
    [
        *((1, 0), (4, 0), (5, 30), (6, 60), (7, 120), (8, 240), (9, 480), (10, 960), (11, 1920), (12, 3600)),
        *((13, 3600), (100, 3600), (10**15, 3600)),
    ],
)
def test_the_wait_that_each_failure_begins(failures: int, wait_s: int) -> None:
    tries, admitted = one_more(Tries(failures - 1), START)
    assert admitted
    assert (tries.failures, tries.wait_s) == (failures, wait_s)
    assert end_of_wait(tries) == (START + seconds(wait_s) if wait_s else None)


def test_a_try_during_the_wait_is_not_admitted_and_changes_nothing() -> None:
    locked = Tries(5, 30, START)
    for moment in (0, 1, 29.999):
        assert one_more(locked, START + seconds(moment)) == (locked, False)
    tries, admitted = one_more(locked, START + seconds(30))
    assert admitted
    assert tries == Tries(6, 60, START + seconds(30))


@pytest.mark.parametrize("back_s", [1, 3600, 86400 * 365])
def test_a_clock_set_back_begins_the_wait_anew(back_s: int) -> None:
    """Neither shortened nor stretched to the old time: one whole wait by the clock as it is now."""
    earlier = START - seconds(back_s)
    tries, admitted = one_more(Tries(8, 240, START), earlier)
    assert not admitted
    assert tries == Tries(8, 240, earlier)
    assert one_more(tries, earlier + seconds(239)) == (tries, False)
    assert one_more(tries, earlier + seconds(240))[1]


def test_a_clock_that_was_far_ahead_locks_nobody_out_for_years() -> None:
    tries, _ = one_more(Tries(5, 30, datetime(2099, 1, 1, tzinfo=UTC)), START)
    assert end_of_wait(tries) == START + seconds(30)


@given(
    st.lists(
        st.tuples(st.floats(0.1, 4000), st.floats(-9000, 9000)),  # true seconds between tries, clock set by
        min_size=1,
        max_size=60,
    )
)
def test_turning_the_clock_back_never_wins_a_try(steps: list[tuple[float, float]]) -> None:
    """Against a true clock kept beside it: turned back at will, no wait is shorter than it should be.

    (Turned forward it is: whoever sets the clock of the machine can do that, and then owns the file too.)
    """
    true, offset = START, timedelta()
    tries, last_true, wait = Tries(), START, timedelta()
    for passed, turned in steps:
        true += seconds(passed)
        offset += seconds(min(turned, 0))
        tries, admitted = one_more(tries, true + offset)
        if admitted:
            assert true - last_true >= wait - seconds(1e-3)
            last_true, wait = true, seconds(tries.wait_s)
