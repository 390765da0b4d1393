"""Canonical text, links and codes against values that another program computed.

The hex values were computed with sha256sum and base32 of GNU coreutils over the same bytes; SHA-256 of "abc"
is the example printed with FIPS 180-4 by NIST.
"""

import hashlib
import json
import unicodedata
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traveler.errors import BadInput
from traveler.record.chain import canonical, code, genesis, journal_genesis, next_hash, next_journal
from traveler.record.links import verify_chain

SHOP_ID = "00112233445566778899aabbccddeeff"
BODY = '{"act":{"value":"300"},"by":{"how":"stated","name":"Ł"},"seq":1}'


def test_links_agree_with_sha256sum() -> None:
    first = genesis(SHOP_ID, "job H-014")
    assert first.hex() == "9bfd88e613cde534afa6719c618316548b8024587d2f0e600310fec5507e724e"
    assert (
        genesis(SHOP_ID, "shop").hex() == "8c5d2bfac3bf63dc52b5ed56926dff2a7b841e9e89cfdb46e04193cbde8b6462"
    )
    assert (
        journal_genesis(SHOP_ID).hex() == "3285b61eab3efe550103701ecbb421629c928f36125c2fcf62b1b7681db2f391"
    )
    link = next_hash(first, BODY)
    assert link.hex() == "6918e890612e2d8c4ee6cbd2b49145d9325e4ffad9421f888558be1452f289ee"
    assert (
        next_journal(journal_genesis(SHOP_ID), link).hex()
        == "ad866fff777ad3652726896a9bc7f5aa6c9ef7f915ad9df5cba80d955d878bfd"
    )


def test_the_code_is_80_bits_in_base32() -> None:
    abc = bytes.fromhex("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad")
    assert hashlib.sha256(b"abc").digest() == abc
    assert code(abc) == "XJ4B-NP4P-AHH6-UQKB"


def test_the_text_is_sorted_and_without_spaces() -> None:
    body = {"seq": 1, "by": {"name": "Ł", "how": "stated"}, "act": {"value": "300"}}
    assert canonical(body) == BODY
    assert canonical({"b": [True, None, -7, "\n"], "a": {}}) == '{"a":{},"b":[true,null,-7,"\\n"]}'


def test_text_is_brought_to_form_nfc() -> None:
    assert canonical({"a\u030a": "e\u0301"}) == '{"å":"é"}'


@pytest.mark.parametrize(
    ("body", "place"),
    [
        ({"act": {"value": 451.0}}, r"act\.value.*float"),
        ({"act": {"value": float("nan")}}, r"act\.value.*float"),
        ({"act": {"value": Decimal("451.0")}}, r"act\.value.*Decimal"),
        ({"act": {"runs": ["1", b"2"]}}, r"act\.runs\[1\].*bytes"),
        ({"by": {"name": "a\ud800"}}, r"by\.name.*position 2"),
        ({"by": {"\udfff": "a"}}, r"by, a key.*position 1"),
        ({"act": {1: "a"}}, r"act: the key 1 is not text"),
        ({"e\u0301": 1, "\u00e9": 2}, r"é: this key stands twice"),
    ],
)
def test_what_has_no_single_text_is_refused_by_its_place(body: dict[str, object], place: str) -> None:
    with pytest.raises(BadInput, match=place):
        canonical(body)


TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXT, inner, max_size=4),
    max_leaves=12,
)


def composed(value: Any) -> Any:
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, list):
        return [composed(item) for item in value]
    if isinstance(value, dict):
        return {composed(key): composed(item) for key, item in value.items()}
    return value


def keys_stay_apart(value: Any) -> bool:
    if isinstance(value, dict):
        return len({composed(key) for key in value}) == len(value) and all(
            map(keys_stay_apart, value.values())
        )
    return not isinstance(value, list) or all(map(keys_stay_apart, value))


def reversed_keys(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: reversed_keys(value[key]) for key in reversed(value)}
    return [reversed_keys(item) for item in value] if isinstance(value, list) else value


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(st.dictionaries(TEXT, VALUES, max_size=5).filter(keys_stay_apart))
def test_one_text_stands_for_one_body(body: dict[str, Any]) -> None:
    text = canonical(body)
    assert json.loads(text) == composed(body)
    assert canonical(json.loads(text)) == text
    assert canonical(reversed_keys(body)) == text
    assert text == json.dumps(composed(body), sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    text.encode("utf-8")


def event_text(seq: int, value: str = "300", stream: str = "job H-014") -> str:
    at = "2026-03-02T12:00:00+01:00"
    return canonical(
        {"stream": stream, "seq": seq, "id": f"{seq:032x}", "kind": "reading recorded", "happened_at": at}
        | {"recorded_at": at, "by": {"name": "A", "how": "stated"}, "act": {"value": value}}
    )


def noted_code(bodies: list[str]) -> str:
    link = hashlib.sha256((SHOP_ID + "job H-014").encode()).digest()
    for body in bodies:
        link = hashlib.sha256(link + body.encode()).digest()
    return code(link)


def test_an_exported_stream_verifies_alone() -> None:
    bodies = [event_text(seq) for seq in (1, 2, 3)]
    assert verify_chain(SHOP_ID, "job H-014", bodies, noted_code(bodies)) is None
    assert verify_chain(SHOP_ID, "job H-014", bodies, None) is None


@pytest.mark.parametrize(
    ("altered", "seq", "what"),
    [
        ([event_text(1), event_text(2, "310"), event_text(3)], 3, "one was altered"),
        ([event_text(1), event_text(2)], 2, "one was altered"),
        ([event_text(1), event_text(3), event_text(2)], 2, "stands event 3"),
        ([event_text(1), event_text(2, stream="job H-015"), event_text(3)], 2, "stands event 2 of job H-015"),
        ([event_text(1), event_text(2).replace(":", ": ", 1), event_text(3)], 2, "not in the form"),
        ([event_text(1), event_text(2).replace('"300"', "300.0"), event_text(3)], 2, "not in the form"),
        ([event_text(1), event_text(2)[:-1], event_text(3)], 2, "not in the form"),
        ([event_text(1), "[" * 100_000, event_text(3)], 2, "not in the form"),
        ([], 0, "no events"),
    ],
)
def test_an_altered_export_is_found(altered: list[str], seq: int, what: str) -> None:
    head = noted_code([event_text(number) for number in (1, 2, 3)])
    fault = verify_chain(SHOP_ID, "job H-014", altered, head)
    assert fault is not None
    assert (fault.stream, fault.seq) == ("job H-014", seq)
    assert what in str(fault)
