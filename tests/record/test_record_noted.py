"""Codes as people type them back, and where a file's history has them."""

import contextlib
import hashlib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from record_kit import JOB, append, fill, plain

from traveler.errors import BadInput
from traveler.record.audit import JOURNAL, Found
from traveler.record.chain import code
from traveler.record.noted import Noted, noted_code
from traveler.record.schema import SCHEMA
from traveler.record.shop import Shop
from traveler.record.verify import Verification, verify_shop

# SHA-256 of "abc" as printed with FIPS 180-4; its first 80 bits are XJ4B-NP4P-AHH6-UQKB.
ABC = bytes.fromhex("ba7816bf8f01cfea4141")


@pytest.mark.parametrize(
    ("typed", "events"),
    [
        ("XJ4B-NP4P-AHH6-UQKB", None),
        ("xj4b np4p ahh6 uqkb", None),
        ("XJ4BNP4PAHH6UQKB", None),
        ("  XJ4B–NP4P—AHH6_UQKB. ", None),
        ("xj48-np4p-ahh6-uqk8", None),  # 8 for B
        ("XJ4B-NP4P-AHH6-UQKB 12", 12),
        ("XJ4B-NP4P-AHH6-UQKB 12 events", 12),
        ("XJ4B-NP4P-AHH6-UQKB, 12 events", 12),
        ("XJ4B-NP4P-AHH6-UQKB (1 event)", 1),
        ("XJ4B NP4P AHH6 UQKB 12EVENTS", 12),
        ("code XJ4B-NP4P-AHH6-UQKB", None),
        ("Record: XJ4B-NP4P-AHH6-UQKB, 12 events, up to 2026-03-14 10:22:05 +01:00", 12),
    ],
)
def test_a_code_is_read_however_it_is_typed(typed: str, events: int | None) -> None:
    found = noted_code(typed)
    assert (found.head, found.events) == (ABC, events)
    assert noted_code(str(found)) == found


@pytest.mark.parametrize(
    "typed",
    [
        *("", "-", "12 events", "XJ4B-NP4P-AHH6-UQK", "XJ4B-NP4P-AHH6-UQKBB", "XJ4B-NP4P-AHH6-UQK9"),
        *(
            "XJ4B-NP4P-AHH6-UQKB12",
            "XJ4B-NP4P-AHH6-UQKB 12 apples",
            "XJ4B-NP4P-AHH6-UQÉB",
        ),
        *(
            "XJ4B-NP4P-AHH6-UQKB 1.5 events",
            "XJ4B-NP4P-AHH6-UQKB 9999999999999999",
            "ſJ4B-NP4P-AHH6-UQKB" * 2,
        ),
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
    ],
)
def test_what_is_no_code_is_said(typed: str) -> None:
    with pytest.raises(BadInput, match="is no code: expected 16 letters"):
        noted_code(typed)


@given(st.binary(min_size=32, max_size=32), st.none() | st.integers(0, 10**12))
def test_every_code_that_is_printed_is_read(link: bytes, events: int | None) -> None:
    noted = noted_code(f"{code(link)}, {events} events" if events is not None else code(link))
    assert noted == Noted(link[:10], events)
    assert noted.stands_for(link)
    assert not noted.stands_for(hashlib.sha256(link).digest())


@given(st.text(max_size=60))
def test_any_text_is_a_code_or_refused(text: str) -> None:
    with contextlib.suppress(BadInput):
        assert len(noted_code(text).head) == 10


def against(path: Path, link: bytes, events: int | None = None) -> Verification:
    return verify_shop(path, Noted(link[:10], events))


def test_every_code_ever_printed_is_found_where_it_was(shop: Shop) -> None:
    for number in range(4):
        append(shop, str(number), JOB)
        append(shop, str(number), "job H-015")
    for stream in (JOB, "job H-015", "shop"):
        for event in shop.events(stream):
            assert against(shop.path, event.hash).found == Found(stream, event.seq, True)
    rows = plain(shop.path).execute("SELECT position, journal_hash FROM event").fetchall()
    for position, link in rows:
        assert against(shop.path, link).found == Found(JOURNAL, position, True)
        assert verify_shop(shop.path, Noted(link[:10]), chain_only=True).found == Found(
            JOURNAL, position, True
        )
    assert against(shop.path, b"\x00" * 32).found is None
    assert against(shop.path, b"\x00" * 32, 4).noted_count_gives == code(rows[3][1])
    assert against(shop.path, b"\x00" * 32, 10).noted_count_gives is None
    assert verify_shop(shop.path).stream_events == {"shop": 1, JOB: 4, "job H-015": 4}


def test_what_a_code_covers_and_what_it_does_not(shop: Shop) -> None:
    """An altered event spoils the codes of its own stream from there on, and those of the journal."""
    fill(shop, 3)
    fill(shop, 3, "job H-015")
    fill(shop, 3)
    job, other = shop.events(JOB), shop.events("job H-015")
    journal = [
        link for (link,) in plain(shop.path).execute("SELECT journal_hash FROM event ORDER BY position")
    ]
    altering = plain(shop.path)
    altering.execute("DROP TRIGGER event_no_update")
    altering.execute("UPDATE event SET body = replace(body, '\"301\"', '\"401\"') WHERE stream = 'job H-015'")
    altering.execute(next(text for text in SCHEMA if "TRIGGER event_no_update" in text))
    for chain_only in (False, True):
        found = verify_shop(shop.path, chain_only=chain_only)
        assert found.faults == ("event 2 of job H-015: its text or its place is not the one that was hashed",)
    assert [against(shop.path, event.hash).found for event in job] == [
        Found(JOB, n, True) for n in range(1, 7)
    ]
    assert [against(shop.path, event.hash).found for event in other] == [
        Found("job H-015", 1, True),
        Found("job H-015", 2, False),
        Found("job H-015", 3, False),
    ]
    assert [against(shop.path, link).found for link in journal] == [
        Found(JOURNAL, position, position < 6) for position in range(1, 11)
    ]
