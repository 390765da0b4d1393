"""A file of few jobs with very many readings is sound, and the same seed gives the same readings."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from charts import write_chart
from long_jobs import write_long
from many_jobs import write_shop

from traveler.acts.look import look
from traveler.acts.verify import verify
from traveler.record.shop import Shop

NOW = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)


class Standing:
    """A clock that stands at the moment of the file."""

    def now(self) -> datetime:
        return NOW


def told(path: Path) -> list[dict[str, Any]]:
    """What every event says, but for what is drawn anew for each file: the ids of the event and of the shop."""
    with Shop.open(path, watched=False) as shop:
        events = [event.data for number in shop.job_numbers() for event in shop.events(f"job {number}")]
    own = ("id", "shop")
    return [
        {
            **{key: value for key, value in event.items() if key not in own},
            "act": {key: value for key, value in event["act"].items() if key not in own},
        }
        for event in events
    ]


def test_a_long_file_verifies_and_has_the_events_asked_for(tmp_path: Path) -> None:
    path = tmp_path / "long.traveler"
    write_long(path, 470, 200, NOW)
    checked = verify(path)
    assert checked.faults == ()
    with Shop.open(path, watched=False) as shop:
        assert [len(shop.events(f"job {number}")) for number in shop.job_numbers()] == [200, 200, 70]
        assert shop.count_events() == 471  # its founding


def test_the_readings_of_a_long_job_are_judged_and_within_their_limits(tmp_path: Path) -> None:
    path = tmp_path / "long.traveler"
    write_long(path, 51, 51, NOW)
    with Shop.open(path, watched=False) as shop:
        steps = look(shop, Standing(), "N-00001")["steps"]
    readings = [
        (step["number"], requirement["quantity"], requirement["verdict"], len(requirement["readings"]))
        for step in steps
        for requirement in step["requirements"]
        if requirement["readings"]
    ]
    assert [(number, quantity, count) for number, quantity, _, count in readings] == [
        (30, "preheat temperature", 2), (40, "interpass temperature", 24), (40, "arc energy", 24),
    ]  # fmt: skip
    assert {verdict for *_, verdict, _ in readings} == {"met"}


def test_the_same_seed_gives_the_same_file_and_another_seed_another(tmp_path: Path) -> None:
    for name, seed in (("one", 1), ("again", 1), ("other", 2)):
        write_long(tmp_path / f"long-{name}.traveler", 120, 60, NOW, seed)
        write_chart(tmp_path / f"chart-{name}.csv", 100, seed)
    assert told(tmp_path / "long-one.traveler") == told(tmp_path / "long-again.traveler")
    assert told(tmp_path / "long-one.traveler") != told(tmp_path / "long-other.traveler")
    charts = [(tmp_path / f"chart-{name}.csv").read_bytes() for name in ("one", "again", "other")]
    assert charts[0] == charts[1] != charts[2]


def test_the_same_seed_gives_the_same_jobs(tmp_path: Path) -> None:
    for name, seed in (("one", 1), ("again", 1), ("other", 2)):
        write_shop(tmp_path / f"{name}.traveler", 12, NOW, seed)
    assert told(tmp_path / "one.traveler") == told(tmp_path / "again.traveler")
    assert told(tmp_path / "one.traveler") != told(tmp_path / "other.traveler")
