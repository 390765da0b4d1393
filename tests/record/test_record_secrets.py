"""Secrets by themselves: what may be one, how it is hashed, and that nothing shows it."""

import copy
import hashlib
import pickle
import re
import traceback
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traveler.errors import BadInput, TravelerError
from traveler.record import secrets
from traveler.record.secrets import (
    USUAL,
    Scheme,
    Secret,
    Verifier,
    hashed,
    new_recovery_code,
    new_verifier,
    recovery_code,
)

MARK = "sEcReT-mArK-9174"  # looked for wherever something could show it


@pytest.fixture
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    """Hashing at no cost worth the name; what is tested is what is done with the hashes."""
    monkeypatch.setattr(secrets, "USUAL", Scheme(log2_n=4, r=8, p=1))


# RFC 7914, section 12; of the 64 bytes printed there the first 32 are what is asked for here.
@pytest.mark.parametrize(
    ("scheme", "password", "salt", "expected"),
    [
        (
            "scrypt ln=10 r=8 p=16",
            "password",
            "NaCl",
            "fdbabe1c9d3472007856e7190d01e9fe7c6ad7cbc8237830e77376634b373162",
        ),
        (
            "scrypt ln=14 r=8 p=1",
            "pleaseletmein",
            "SodiumChloride",
            "7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2",
        ),
    ],
)
def test_hashes_agree_with_the_published_vectors(
    scheme: str, password: str, salt: str, expected: str
) -> None:
    kept = Verifier(scheme, salt.encode(), bytes.fromhex(expected))
    assert kept.matches(Secret(password))
    assert not kept.matches(Secret(f"{password} "))


def test_the_usual_cost_is_the_published_one() -> None:
    """OWASP Password Storage Cheat Sheet, scrypt: N=2^17 (128 MiB), r=8, p=1."""
    assert str(USUAL) == "scrypt ln=17 r=8 p=1"
    assert USUAL.memory // 2**20 == 128
    kept = hashed(Secret("a bracket for the left side"))
    assert kept.scheme == str(USUAL)
    assert kept.matches(Secret("a bracket for the left side"))
    assert not kept.matches(Secret("a bracket for the left sidE"))


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", "too short"),
        ("29460", "too short"),
        ("294601", None),
        ("２９４６０１", None),  # digits of another script are digits
        ("²²²⁹⁴⁶", "too short"),  # superscripts are not
        ("abcxyzq", "too short"),
        ("29460 1", "too short"),
        ("29460-17", None),
        ("abcxyzqw", None),
        ("tig weld", None),
        ("        ", "first that anybody tries"),
        (" tigweld", None),
        ("e\u0301" * 7, "too short"),  # composed first: 7 characters
        ("溶接職人の手の跡", None),
        ("y3" + "x" * 254, None),
        ("y3" + "x" * 255, "too long"),
        ("tig\nwelder", "typed again"),
        ("tig\x00welder", "typed again"),
        ("tig\ud800welder", "typed again"),
        ("000000", "first that"),
        ("123456", "first that"),
        ("654321", "first that"),
        ("890123", "first that"),
        ("109876", "first that"),
        ("121212", "first that"),
        ("12341234", "first that"),
        ("123123", "first that"),
        ("135790", None),
        ("112358", None),
        ("aaaaaaaa", "first that"),
        ("abcdefgh", "first that"),
        ("ZYXWVUTSR", "first that"),
        ("abcabcabca", "first that"),
        ("PassWord", "first that"),
        ("qwertzui", "first that"),
        ("correct horse correct horse", None),
    ],
)
@pytest.mark.usefixtures("cheap")
def test_what_may_become_a_secret(text: str, fault: str | None) -> None:
    if fault is None:
        assert new_verifier(Secret(text)).matches(Secret(text))
    else:
        with pytest.raises(BadInput, match=fault) as told:
            new_verifier(Secret(text))
        assert len(text) < 6 or text not in str(told.value)


@pytest.mark.usefixtures("cheap")
def test_composed_and_decomposed_are_one_and_blanks_count() -> None:
    kept = new_verifier(Secret("Schweißen é"))
    assert kept.matches(Secret("Schweißen e\u0301"))
    assert not kept.matches(Secret("Schweißen é "))
    assert not kept.matches(Secret(" Schweißen é"))
    assert not kept.matches(Secret("schweißen é"))


@given(st.text(max_size=40))
def test_no_text_breaks_the_rules_or_the_hash(text: str) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(secrets, "USUAL", Scheme(log2_n=1, r=1, p=1))
        assert hashed(Secret(text)).matches(Secret(text))
        weakness = Secret(text).weakness()
        assert weakness is None or weakness.startswith(("too ", "not one", "one of"))


@pytest.mark.usefixtures("cheap")
def test_two_people_with_one_secret_show_nothing_of_it() -> None:
    first, second = new_verifier(Secret(MARK)), new_verifier(Secret(MARK))
    assert first.salt != second.salt
    assert first.hash != second.hash
    assert first.commitment != second.commitment


def test_the_commitment_is_what_the_document_says() -> None:
    kept = Verifier("scrypt ln=17 r=8 p=1", bytes(16), b"\xff" * 32)
    text = b"scrypt ln=17 r=8 p=1\n" + bytes(16) + b"\xff" * 32
    assert kept.commitment == hashlib.sha256(text).hexdigest()


@pytest.mark.usefixtures("cheap")
def test_a_recovery_code_is_80_random_bits_and_forgives_how_it_is_typed() -> None:
    shown, kept = new_recovery_code()
    other, _ = new_recovery_code()
    assert shown.reveal() != other.reveal()
    assert re.fullmatch(r"[A-Z2-7]{4}(-[A-Z2-7]{4}){3}", shown.reveal())
    letters = shown.reveal().replace("-", "")
    for typed in (
        shown.reveal(),
        letters.lower(),
        f" {letters[:5]} {letters[5:]} ",
        letters.replace("O", "0").replace("I", "1").replace("B", "8"),
        shown.reveal().replace("-", "\u2013"),
    ):
        assert kept.matches(recovery_code(typed))
    assert not kept.matches(recovery_code(letters[:-1]))
    assert not kept.matches(recovery_code(""))


@pytest.mark.parametrize(
    "scheme",
    ["", "plain", "scrypt ln=17 r=8", "scrypt ln=0 r=8 p=1", "scrypt ln=99 r=8 p=1", "scrypt ln=25 r=8 p=1"],
)
def test_an_unknown_or_absurd_cost_is_said_and_not_tried(scheme: str) -> None:
    with pytest.raises(TravelerError, match="does not know"):
        Verifier(scheme, bytes(16), bytes(32)).matches(Secret(MARK))


def no_memory(*arguments: object, **options: object) -> bytes:
    raise ValueError("[digital envelope routines] memory limit exceeded")


def test_a_machine_without_the_memory_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("hashlib.scrypt", no_memory)
    with pytest.raises(TravelerError, match="takes 128 MiB of memory"):
        hashed(Secret(MARK))


@pytest.mark.parametrize(
    "failing",
    [
        lambda: new_verifier(Secret(MARK * 30)),
        lambda: new_verifier(Secret(f"{MARK}\ud800")),
        lambda: new_verifier(Secret(f"\x1b{MARK}")),
        lambda: Verifier("plain", bytes(16), bytes(32)).matches(Secret(MARK)),
        lambda: pickle.dumps(Secret(MARK)),
        lambda: copy.deepcopy(Secret(MARK)),
        lambda: int(Secret(MARK)),  # type errors quote the value
        lambda: {}[Secret(MARK)],
        lambda: f"{Secret(MARK):>30}",
    ],
)
def test_no_error_and_no_frame_shows_a_secret(failing: Callable[[], object]) -> None:
    """As the fullest crash report does it: every exception of the chain, every local of every frame."""
    with pytest.raises((TravelerError, TypeError, KeyError)) as raised:
        failing()
    report = "".join(traceback.TracebackException.from_exception(raised.value, capture_locals=True).format())
    assert MARK not in report
    assert MARK not in repr(vars(raised.value))
    assert MARK not in repr(raised.value.args)


def test_nothing_prints_a_secret() -> None:
    secret = Secret(MARK)
    for text in (repr(secret), str(secret), f"{secret}", repr([secret]), repr({"secret": secret})):
        assert MARK not in text
        assert "Secret(...)" in text
    kept = Verifier("scrypt ln=4 r=8 p=1", b"s" * 16, b"h" * 32)
    assert "sss" not in repr(kept)
    assert "hhh" not in repr(kept)
