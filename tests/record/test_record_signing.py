"""Secrets in the shop's file: checked, counted, locked, renewed, and found out when replaced by other means."""

import sqlite3
import threading
import traceback
from collections.abc import Callable
from pathlib import Path

import pytest
from record_kit import BY, JOB, NOON, append, plain
from secret_kit import CHEAP, RIGHT, START, WRONG, after, check, put, reason, set_secret

from traveler.errors import BadInput, TravelerError
from traveler.record import secrets
from traveler.record.secret_table import Accepted, Refused
from traveler.record.secrets import Scheme, Secret, hashed, new_recovery_code, new_verifier, recovery_code
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


def test_right_and_wrong(shop: Shop) -> None:
    commitment = set_secret(shop)
    assert check(shop, RIGHT) == Accepted("P1", "signing", commitment)
    assert check(shop, WRONG) == Refused("wrong")
    assert check(shop, f"{RIGHT} ") == Refused("wrong")
    assert check(shop, "") == Refused("wrong")
    assert check(shop, RIGHT, person="P2") == Refused("none")
    assert check(shop, RIGHT, kind="recovery") == Refused("none")
    assert verify_shop(shop.path).ok


def test_five_failures_and_then_waits_that_double(shop: Shop) -> None:
    set_secret(shop)
    for number in range(4):
        assert check(shop, WRONG, number) == Refused("wrong")
    assert check(shop, WRONG, 4) == Refused("wrong", after(34))
    assert check(shop, RIGHT, 33.9) == Refused("locked", after(34))
    assert check(shop, WRONG, 34) == Refused("wrong", after(94))
    assert check(shop, RIGHT, 93) == Refused("locked", after(94))
    assert isinstance(check(shop, RIGHT, 94), Accepted)
    # A good entry begins anew: four more are free.
    for number in range(4):
        assert check(shop, WRONG, 95 + number) == Refused("wrong")
    assert isinstance(check(shop, RIGHT, 99), Accepted)


def test_the_count_outlives_the_act_the_connection_and_the_program(shop: Shop) -> None:
    set_secret(shop)
    set_secret(shop, "P2", "quite another one")
    for number in range(5):
        assert reason(check(shop, WRONG, number)) == "wrong"

        def a_signing_that_is_refused() -> None:
            with shop.write() as writing:
                writing.append(JOB, "step performed", BY, NOON, NOON, {})
                raise TravelerError("refused")

        with pytest.raises(TravelerError):
            a_signing_that_is_refused()
    shop.close()
    with Shop.open(shop.path) as again:
        assert check(again, RIGHT, 10) == Refused("locked", after(34))
        assert isinstance(check(again, "quite another one", 10, person="P2"), Accepted)
        assert again.events(JOB) == []


def test_a_clock_set_back_between_programs_wins_nothing(shop: Shop) -> None:
    set_secret(shop)
    for _ in range(6):
        check(shop, WRONG, 1000)
    check(shop, WRONG, 1030)
    shop.close()
    with Shop.open(shop.path) as again:
        assert check(again, RIGHT, -5000) == Refused("locked", after(-4940))
        assert check(again, RIGHT, -4941) == Refused("locked", after(-4940))
        assert isinstance(check(again, RIGHT, -4940), Accepted)


def test_tries_at_the_same_time_are_counted_each(shop: Shop) -> None:
    """The count comes before the comparison: nobody gets more tries by making them all at once."""
    set_secret(shop)
    answers: list[str] = []

    def guess(number: int) -> None:
        with Shop.open(shop.path) as own:
            answers.append(reason(check(own, f"guess number {number}")))

    threads = [threading.Thread(target=guess, args=(number,)) for number in range(12)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(answers) == ["locked"] * 7 + ["wrong"] * 5


def test_a_try_that_cannot_be_counted_is_not_made(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    set_secret(shop)
    with (
        Shop.open(shop.path, read_only=True) as reader,
        pytest.raises(TravelerError, match="for reading only"),
    ):
        check(reader, RIGHT)
    monkeypatch.setattr("traveler.record.connection.BUSY_SECONDS", 0.02)
    with Shop.open(shop.path) as other, shop.write(), pytest.raises(TravelerError, match="in use"):
        check(other, RIGHT)
    assert check(shop, WRONG) == Refused("wrong")
    assert failures(shop) == 1


def failures(shop: Shop) -> int:
    return int(plain(shop.path).execute("SELECT failures FROM secret WHERE person = 'P1'").fetchone()[0])


def test_a_check_inside_a_write_is_a_fault_of_the_program(shop: Shop) -> None:
    set_secret(shop)
    with shop.write(), pytest.raises(RuntimeError, match="before a write"):
        check(shop, RIGHT)


def test_a_new_secret_takes_the_place_of_the_old_and_of_its_failures(shop: Shop) -> None:
    set_secret(shop)
    for _ in range(5):
        check(shop, WRONG)
    set_secret(shop, text="the new one 77")
    assert isinstance(check(shop, "the new one 77", 1), Accepted)
    assert check(shop, RIGHT, 1) == Refused("wrong")
    assert verify_shop(shop.path).ok


def test_what_was_accepted_is_asked_again_inside_the_write(shop: Shop) -> None:
    set_secret(shop)
    accepted = check(shop, RIGHT)
    assert isinstance(accepted, Accepted)
    with shop.write() as writing:
        assert writing.is_current(accepted)
    set_secret(shop, text="set by somebody else meanwhile")
    with shop.write() as writing:
        assert not writing.is_current(accepted)


def test_a_secret_replaced_while_it_was_compared_is_not_accepted(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    set_secret(shop)
    original = secrets.Verifier.matches

    def slow(verifier: secrets.Verifier, secret: Secret) -> bool:
        monkeypatch.setattr(secrets.Verifier, "matches", original)
        with Shop.open(shop.path) as other:
            set_secret(other, text="set by somebody else meanwhile")
        return original(verifier, secret)

    monkeypatch.setattr(secrets.Verifier, "matches", slow)
    assert check(shop, RIGHT) == Refused("wrong")


def test_a_higher_cost_takes_effect_at_the_next_good_entry(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    old = set_secret(shop)
    monkeypatch.setattr(secrets, "USUAL", Scheme(log2_n=5, r=8, p=1))
    assert check(shop, WRONG) == Refused("wrong")
    assert scheme(shop) == str(CHEAP)
    found = check(shop, RIGHT)
    assert isinstance(found, Accepted)
    assert found.commitment != old
    assert scheme(shop) == "scrypt ln=5 r=8 p=1"
    event = shop.events("shop")[-1].data
    assert event["kind"] == "secret set"
    assert event["by"] == {"name": "traveler", "how": "program"}
    assert event["act"] == {"person": "P1", "by_whom": "program", "commitment": found.commitment}
    count = len(shop.events("shop"))
    assert check(shop, RIGHT) == found
    assert len(shop.events("shop")) == count
    # A program that spends less than an earlier one leaves the better hash alone.
    monkeypatch.setattr(secrets, "USUAL", CHEAP)
    assert check(shop, RIGHT) == found
    assert verify_shop(shop.path).ok


def scheme(shop: Shop) -> str:
    return str(plain(shop.path).execute("SELECT scheme FROM secret").fetchone()[0])


def test_a_recovery_code_stands_beside_the_secret(shop: Shop) -> None:
    set_secret(shop)
    code, kept = new_recovery_code()
    commitment = put(shop, "P1", kept, "recovery")
    for _ in range(6):
        check(shop, WRONG)
    # Whoever locks the one does not lock the other.
    typed = recovery_code(code.reveal().lower())
    assert shop.check_secret("P1", typed, START, "recovery") == Accepted("P1", "recovery", commitment)
    assert reason(check(shop, code.reveal(), 100)) == "wrong"
    assert verify_shop(shop.path).ok


def replaced(connection: sqlite3.Connection) -> None:
    """Somebody's own hash in the place of P1's."""
    mine = hashed(Secret("my own secret"))
    connection.execute(
        "UPDATE secret SET scheme = ?, salt = ?, hash = ? WHERE person = 'P1'",
        (mine.scheme, mine.salt, mine.hash),
    )


def swapped(connection: sqlite3.Connection) -> None:
    """P2's row, whose secret the forger knows, in the place of P1's."""
    connection.execute("DELETE FROM secret WHERE person = 'P1'")
    connection.execute(
        "INSERT INTO secret SELECT 'P1', kind, scheme, salt, hash, set_at, 0, 0, NULL FROM secret WHERE person = 'P2'"
    )


def removed(connection: sqlite3.Connection) -> None:
    connection.execute("DELETE FROM secret WHERE person = 'P1'")


def added(connection: sqlite3.Connection) -> None:
    mine = hashed(Secret("my own secret"))
    connection.execute(
        "INSERT INTO secret VALUES ('P9', 'signing', ?, ?, ?, '', 0, 0, NULL)",
        (mine.scheme, mine.salt, mine.hash),
    )


def cheaper(connection: sqlite3.Connection) -> None:
    connection.execute("UPDATE secret SET scheme = 'scrypt ln=1 r=1 p=1' WHERE person = 'P1'")


@pytest.mark.parametrize(
    ("alteration", "fault"),
    [
        (replaced, "the signing secret of P1: it is not the one that event 2 of shop set; it was replaced"),
        (swapped, "the signing secret of P1: it is not the one that event 2 of shop set; it was replaced"),
        (cheaper, "the signing secret of P1: it is not the one that event 2 of shop set; it was replaced"),
        (removed, "the signing secret of P1: set by event 2 of shop and missing"),
        (added, "the signing secret of P9: no event of shop says that it was set"),
    ],
)
def test_a_secret_changed_by_other_means_is_named_and_signs_nothing(
    shop: Shop, alteration: Callable[[sqlite3.Connection], None], fault: str
) -> None:
    set_secret(shop)
    set_secret(shop, "P2", "my own secret")
    assert verify_shop(shop.path).ok
    alteration(plain(shop.path))
    assert verify_shop(shop.path).faults == (fault,)
    person = "P9" if alteration is added else "P1"
    assert reason(check(shop, "my own secret", person=person)) == (
        "none" if alteration is removed else "altered"
    )
    assert isinstance(check(shop, "my own secret", person="P2"), Accepted)


def test_a_secret_without_its_event_is_never_accepted(shop: Shop) -> None:
    with shop.write() as writing:
        writing.put_secret("P1", hashed(Secret(RIGHT)), START)
    assert check(shop, RIGHT) == Refused("altered")
    assert not verify_shop(shop.path).ok


def test_counts_that_were_altered_are_said_or_harmless(shop: Shop) -> None:
    set_secret(shop)
    altering = plain(shop.path)
    altering.execute(
        "UPDATE secret SET failures = 9, wait_s = 9000000000000000000, wait_from = '2026-03-02T12:00:00Z'"
    )
    assert check(shop, RIGHT, 0) == Refused("locked", after(3600))
    for text in ("soon", "2026-03-02T12:00:00", ""):
        altering.execute("UPDATE secret SET wait_from = ?", (text,))
        with pytest.raises(TravelerError, match="altered"):
            check(shop, RIGHT, 0)


def test_no_error_of_the_file_shows_a_secret(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every failing of a check and of a setting, with each frame's locals as a crash report prints them."""
    mark = "sEcReT mArK 9174"
    set_secret(shop)
    reports = []

    def report(act: Callable[[], object]) -> None:
        with pytest.raises((TravelerError, BadInput, RuntimeError, sqlite3.Error)) as raised:
            act()
        reports.append(
            "".join(traceback.TracebackException.from_exception(raised.value, capture_locals=True).format())
        )

    secret = Secret(mark)
    del mark
    with shop.write():
        report(lambda: shop.check_secret("P1", secret, START))
    with Shop.open(shop.path, read_only=True) as reader:
        report(lambda: reader.check_secret("P1", secret, START))
    report(lambda: shop.check_secret("P\ud800", secret, START))
    monkeypatch.setattr("traveler.record.connection.BUSY_SECONDS", 0.02)
    with Shop.open(shop.path) as other, shop.write():
        report(lambda: other.check_secret("P1", secret, START))
    (pages,) = shop._connection.execute("PRAGMA page_count").fetchone()
    shop._connection.execute(f"PRAGMA max_page_count={pages}")

    def fill_the_file() -> None:
        with shop.write() as writing:
            writing.put_secret("P3", new_verifier(secret), START)
            writing.append("shop", "secret set", BY, NOON, NOON, {"note": "x" * 50_000})

    report(fill_the_file)
    shop._connection.execute("PRAGMA max_page_count=1000000")
    plain(shop.path).execute("DROP TABLE secret")
    report(lambda: shop.check_secret("P1", secret, START))
    assert len(reports) == 6
    assert all("sEcReT" not in text for text in reports)
    assert "Secret(...)" in reports[0]  # the locals are really in it


def test_the_file_and_its_backups_hold_no_secret(shop: Shop, tmp_path: Path) -> None:
    set_secret(shop, text="sEcReT mArK 9174")
    check(shop, "sEcReT mArK 9174")
    check(shop, "sEcReT tYpO 9174")
    append(shop, "300")
    shop.close()
    assert all(b"sEcReT" not in path.read_bytes() for path in tmp_path.iterdir() if path.is_file())
