"""The large job that dossiers are measured on is a job like any other."""

from pathlib import Path

import big_job
import pytest

from traveler.acts.clock import SystemClock
from traveler.acts.look import look
from traveler.acts.verify import verify
from traveler.record.shop import Shop


@pytest.mark.slow
def test_its_file_verifies_and_has_what_it_says(tmp_path: Path) -> None:
    path = tmp_path / "shop.traveler"
    big_job.write_shop(path, SystemClock())
    assert verify(path).faults == ()
    with Shop.open(path, read_only=True) as shop:
        steps = look(shop, SystemClock(), big_job.NUMBER)["steps"]
    assert len(steps) == big_job.STEPS
    readings = [reading for step in steps for need in step["requirements"] for reading in need["readings"]]
    assert sorted(reading["reading"] for reading in readings) == list(range(1, big_job.READINGS + 1))
    assert {reading["verdict"] for reading in readings} >= {"met"}
