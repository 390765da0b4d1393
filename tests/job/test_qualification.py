"""Six months by process: renewed by use while alive, judged on the day of the weld.

ASME IX QW-322.1 as quoted [secondary]; the calendar by hand.
"""

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from register_kit import ShopStory

from traveler.errors import BadInput
from traveler.job.qualification import Weld, months_later, qualification, valid_on


def day(text: str) -> date:
    return date.fromisoformat(text)


@pytest.mark.parametrize(
    ("on", "until"),
    [
        ("2026-01-15", "2026-07-15"),
        ("2025-08-31", "2026-02-28"),
        ("2027-08-31", "2028-02-29"),
        ("2025-08-29", "2026-02-28"),
        ("2026-03-31", "2026-09-30"),
        ("2025-12-31", "2026-06-30"),
        ("2025-07-01", "2026-01-01"),
        ("2026-02-28", "2026-08-28"),
    ],
)
def test_six_calendar_months(on: str, until: str) -> None:
    assert months_later(day(on), 6) == day(until)


def asked(first: str, on: str, *welds: str, process: str = "141") -> bool:
    shop = ShopStory()
    shop.person("Wanda Zoë", "welder", p141=first)
    laid: list[Weld] = [("141", day(weld)) for weld in welds]
    return valid_on(shop.register, "P1", process, day(on), laid).valid


@pytest.mark.parametrize(
    ("first", "on", "welds", "valid"),
    [
        ("2026-01-15", "2026-07-15", (), True),  # the last day is inside
        ("2026-01-15", "2026-07-16", (), False),
        ("2025-08-31", "2026-02-28", (), True),
        ("2025-08-31", "2026-03-01", (), False),
        ("2026-01-15", "2026-01-14", (), False),  # not yet shown then
        ("2026-01-15", "2026-01-15", (), True),  # a test piece in the morning
        ("2026-01-15", "2026-12-01", ("2026-06-30",), True),
        ("2026-01-15", "2026-12-31", ("2026-06-30",), False),
        ("2026-01-15", "2026-12-31", ("2026-06-30", "2026-12-01"), True),
        # A weld made after it lapsed renews nothing, however recent.
        ("2026-01-15", "2026-08-02", ("2026-08-01",), False),
        ("2026-01-15", "2026-12-01", ("2026-08-01", "2026-09-01"), False),
        # The weld in question does not prove itself.
        ("2026-01-15", "2026-08-01", ("2026-08-01",), False),
        # Nor does a later one.
        ("2026-01-15", "2026-08-01", ("2026-08-10",), False),
    ],
)
def test_renewed_by_use_while_it_is_alive(first: str, on: str, welds: tuple[str, ...], valid: bool) -> None:
    assert asked(first, on, *welds) == valid


def test_each_process_for_itself() -> None:
    assert not asked("2026-01-15", "2026-02-01", process="135")


def test_a_test_piece_makes_it_alive_again() -> None:
    shop = ShopStory()
    shop.person("Wanda Zoë", "welder", p141="2025-01-01")
    welds: list[Weld] = [("141", day("2025-12-01"))]
    lapsed = valid_on(shop.register, "P1", "141", day("2026-01-10"), welds)
    assert (lapsed.valid, lapsed.until) == (False, day("2025-07-01"))
    assert lapsed.reason == (
        "141 was last used on 2025-01-01: it lapsed after 2025-07-01, and the weld of 2025-12-01 does not renew "
        "what had lapsed; a test piece makes it alive again"
    )
    shop.tell("process used", person="P1", process="141", on="2026-01-09", shown_by="test piece T-4")
    alive = valid_on(shop.register, "P1", "141", day("2026-01-10"), welds)
    assert (alive.valid, alive.until, alive.reason) == (
        True,
        day("2026-07-09"),
        "141 last used on 2026-01-09; good until 2026-07-09",
    )
    # A test piece of today proves nothing about a weld of last month.
    assert not valid_on(shop.register, "P1", "141", day("2025-12-15"), welds).valid


def test_never_shown_is_never_valid() -> None:
    shop = ShopStory()
    shop.person("Wim Two", "welder")
    never = valid_on(shop.register, "P1", "141", day("2026-01-10"), [("141", day("2026-01-09"))])
    assert (never.valid, never.until) == (False, None)
    assert never.reason == "Wim Two has never been shown to weld by process 141"
    with pytest.raises(BadInput, match="no person"):
        valid_on(shop.register, "P2", "141", day("2026-01-10"), [])


def test_what_a_signature_keeps_is_text() -> None:
    shop = ShopStory()
    shop.person("Wanda Zoë", "welder", p141="2026-01-15")
    assert qualification(shop.register, "P1", "141", day("2026-02-01"), []) == {
        "process": "141",
        "on": "2026-02-01",
        "valid": True,
        "until": "2026-07-15",
        "reason": "141 last used on 2026-01-15; good until 2026-07-15",
    }


def within(last: date, on: date) -> bool:
    """At most six months later, counted in months and the day of the month."""
    months = (on.year * 12 + on.month) - (last.year * 12 + last.month)
    return months < 6 or (months == 6 and on.day <= last.day)


days = st.dates(date(2024, 1, 1), date(2027, 12, 31))


@settings(max_examples=150, deadline=None)
@given(first=days, welds=st.lists(days, max_size=6), on=days)
def test_valid_only_with_an_unbroken_chain_of_uses(first: date, welds: list[date], on: date) -> None:
    """Another way round: walk day by day; alive as long as the last counted use is six months away at most."""
    shop = ShopStory()
    shop.person("Wanda Zoë", "welder", p141=first.isoformat())
    last = first
    for weld in sorted(welds):
        if first < weld < on and within(last, weld):
            last = weld
    alive = first <= on and within(last, on)
    found = valid_on(shop.register, "P1", "141", on, [("141", weld) for weld in welds])
    assert found.valid == alive
