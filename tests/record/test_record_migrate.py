"""From one schema to the next, with what the migration runner leaves out."""

import json
from pathlib import Path

import pytest
from record_kit import JOB, append, fill, finish, plain, start
from secret_kit import RIGHT, check, set_secret

from traveler.errors import TravelerError
from traveler.record import schema
from traveler.record.schema import SCHEMA, SchemaStep, schema_faults
from traveler.record.secret_table import Accepted
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop

NOTE = "CREATE TABLE note (number TEXT PRIMARY KEY NOT NULL) STRICT"

# What a child does to become a later edition of this program, with one more table.
LATER_EDITION = """
import sys
from pathlib import Path
from traveler.record import schema
from traveler.record.shop import Shop
note = "CREATE TABLE note (number TEXT PRIMARY KEY NOT NULL) STRICT"
schema.EARLIER = (*schema.EARLIER, schema.SCHEMA)
schema.STEPS = (*schema.STEPS, schema.SchemaStep("notes", (note,)))
schema.SCHEMA = (*schema.SCHEMA, note)
"""


def later_edition(monkeypatch: pytest.MonkeyPatch, *statements: str) -> None:
    monkeypatch.setattr(schema, "EARLIER", (*schema.EARLIER, SCHEMA))
    monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, SchemaStep("notes", statements)))
    monkeypatch.setattr(schema, "SCHEMA", (*SCHEMA, NOTE))


@pytest.fixture
def first_schema(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A file with four events as the program made it whose newest schema was the first."""
    with monkeypatch.context() as patch:
        patch.setattr(schema, "STEPS", schema.STEPS[:1])
        patch.setattr(schema, "SCHEMA", schema.FIRST_TABLES)
        with Shop.create(tmp_path / "first" / "shop.traveler") as shop:
            fill(shop, 3)
            with shop.write() as writing:
                writing.put_attachment(b"chart")
    return shop.path


def version(path: Path) -> int:
    return int(plain(path).execute("PRAGMA user_version").fetchone()[0])


def test_a_file_of_the_first_schema_is_verified_and_read_as_it_is(first_schema: Path) -> None:
    before = first_schema.read_bytes()
    assert verify_shop(first_schema).ok
    with Shop.open(first_schema, read_only=True) as reader:
        assert len(reader.events(JOB)) == 3
    assert first_schema.read_bytes() == before
    altering = plain(first_schema)
    altering.execute("DROP TRIGGER event_no_update")
    altering.close()
    assert verify_shop(first_schema).faults == ("schema: trigger event_no_update is missing",)
    with pytest.raises(TravelerError, match="trigger event_no_update is missing"):
        Shop.open(first_schema, read_only=True)


def test_a_file_of_the_first_schema_gets_its_secrets(first_schema: Path) -> None:
    before = verify_shop(first_schema)
    with Shop.open(first_schema) as upgraded:
        assert version(first_schema) == schema.newest_version() == 3
        assert set_secret(upgraded)
        assert isinstance(check(upgraded, RIGHT), Accepted)
    assert verify_shop(first_schema).ok
    saved = first_schema.with_name("shop.traveler.schema-1-1.backup")
    assert version(saved) == 1
    assert verify_shop(saved) == before
    assert sorted(path.name for path in first_schema.parent.iterdir()) == ["shop.traveler", saved.name]


@pytest.mark.slow
def test_four_programs_at_once_upgrade_a_file_of_the_first_schema_once(first_schema: Path) -> None:
    script = (
        "import sys\nfrom pathlib import Path\nfrom record_kit import append\n"
        "from secret_kit import make_cheap, set_secret\nfrom traveler.record.shop import Shop\n"
        "make_cheap()\n"
        "with Shop.open(Path(sys.argv[1])) as shop:\n"
        "    append(shop, '1', 'job ' + sys.argv[2])\n    set_secret(shop, sys.argv[2])\n"
    )
    for child in [start(script, first_schema, f"P{number}") for number in range(4)]:
        finish(child)
    found = verify_shop(first_schema)
    assert (found.faults, found.events) == ((), 4 + 4 + 4)
    assert version(first_schema) == 3
    assert [path.name for path in first_schema.parent.glob("*.backup")] == ["shop.traveler.schema-1-1.backup"]


def test_issued_steps_are_never_edited() -> None:
    """A file made by any earlier edition holds these checksums; a change of tables is a further step."""
    assert [(step.name, step.sha256) for step in schema.STEPS] == [
        ("first_tables", "442c461a978712204bcf70a97eb39ef89eca23390742d7a27c786b76140a9f90"),
        ("secrets", "aae4a4dbbfa7d50cf0884d5999a9af24a4259f72fa14d066d2120953cc634d84"),
        ("board", "33a4b566454d664a07703812c1763544bfb4bb6538cd67bb57a39e1daf4d7675"),
    ]


def test_a_new_file_has_every_table_and_trigger(shop: Shop) -> None:
    assert schema_faults(shop._connection, 3) == []
    stored = plain(shop.path).execute("SELECT count(*) FROM sqlite_schema WHERE type = 'trigger'").fetchone()
    assert stored == (sum(text.startswith("CREATE TRIGGER") for text in SCHEMA),)


def test_an_older_file_is_upgraded_after_a_backup(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    fill(shop, 3)
    shop.close()
    later_edition(monkeypatch, NOTE)
    with Shop.open(shop.path, read_only=True) as reader:
        assert len(reader.events(JOB)) == 3
    assert verify_shop(shop.path).ok
    with Shop.open(shop.path) as upgraded:
        assert upgraded._connection.execute("PRAGMA user_version").fetchone() == (4,)
        assert upgraded._connection.execute("SELECT count(*) FROM note").fetchone() == (0,)
        assert append(upgraded, "310").seq == 4
    assert verify_shop(shop.path).ok
    saved = shop.path.with_name("shop.traveler.schema-3-1.backup")
    assert sorted(entry.name for entry in shop.path.parent.iterdir()) == ["shop.traveler", saved.name]
    monkeypatch.undo()
    with Shop.open(saved) as before:
        assert len(before.events(JOB)) == 3


def test_a_step_that_fails_changes_nothing(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    fill(shop, 2)
    shop.close()
    later_edition(monkeypatch, NOTE, "CREATE TABLE event (x)")
    with pytest.raises(TravelerError, match=r"already exists.*nothing was written"):
        Shop.open(shop.path)
    monkeypatch.undo()
    with Shop.open(shop.path) as opened:
        assert len(opened.events(JOB)) == 2


def test_a_step_edited_after_its_release_is_refused(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    shop.close()
    edited = SchemaStep("first_tables", (*schema.FIRST_TABLES, "CREATE TABLE more (x)"))
    monkeypatch.setattr(schema, "STEPS", (edited, *schema.STEPS[1:], SchemaStep("notes", (NOTE,))))
    with pytest.raises(
        TravelerError, match="step 1 of its schema, first_tables, was made by another edition"
    ):
        Shop.open(shop.path)
    assert plain(shop.path).execute("PRAGMA user_version").fetchone() == (3,)


def test_a_step_that_rebuilds_the_event_table_is_caught(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """The usual way to change a column drops the table's triggers without a word."""
    shop.close()
    later_edition(
        monkeypatch,
        NOTE,
        SCHEMA[1].replace("TABLE event", "TABLE event_new"),
        "INSERT INTO event_new SELECT * FROM event",
        "DROP TRIGGER event_no_delete",
        "DROP TABLE event",
        "ALTER TABLE event_new RENAME TO event",
        SCHEMA[2],
    )
    with pytest.raises(TravelerError, match=r"trigger event_\w+ is missing.*nothing was written"):
        Shop.open(shop.path)
    monkeypatch.undo()
    with Shop.open(shop.path) as opened:
        assert schema_faults(opened._connection, 3) == []


@pytest.mark.slow
def test_four_programs_started_at_once_upgrade_once(shop: Shop) -> None:
    fill(shop, 2)
    shop.close()
    script = LATER_EDITION + (
        "from record_kit import append\n"
        "print('ready', flush=True)\n"
        "with Shop.open(Path(sys.argv[1])) as shop: append(shop, '1', 'job ' + sys.argv[2])\n"
    )
    for child in [start(script, shop.path, f"H-{number}") for number in range(4)]:
        finish(child)
    steps = plain(shop.path).execute("SELECT number, name FROM schema_step ORDER BY number").fetchall()
    assert steps == [(1, "first_tables"), (2, "secrets"), (3, "board"), (4, "notes")]
    assert len(list(shop.path.parent.glob("*.backup"))) == 1
    bodies = plain(shop.path).execute("SELECT body FROM event WHERE stream LIKE 'job H-_'").fetchall()
    assert len({json.loads(body)["stream"] for (body,) in bodies}) == 4


@pytest.mark.slow
def test_a_new_file_in_a_taken_moment(tmp_path: Path) -> None:
    """Several programs that found the same shop at once: one does, the others are told."""
    script = (
        "import sys\nfrom pathlib import Path\nfrom traveler.errors import TravelerError\n"
        "from traveler.record.shop import Shop\n"
        "try:\n    Shop.create(Path(sys.argv[1])).close()\n    print('made')\n"
        "except TravelerError as told:\n    print(told)\n"
    )
    path = tmp_path / "shop.traveler"
    answers = [finish(child).strip() for child in [start(script, path) for _ in range(3)]]
    assert answers.count("made") == 1
    assert sum("exists already" in answer for answer in answers) == 2
    assert [entry.name for entry in tmp_path.iterdir()] == ["shop.traveler"]
    assert verify_shop(path).ok
