"""``part`` as it is typed."""

import pytest
from cli_kit import Commands

from traveler.acts.clock import SystemClock
from traveler.demo.build import FILE_NAME, build_demo

CLOSED, ITS_PART = "DEMO-1", "PB12-01"


@pytest.fixture
def demo(tmp_path) -> Commands:
    """Commands on the demo shop, which has a closed job with a part in the register."""
    build_demo(tmp_path, SystemClock())
    return Commands(tmp_path / FILE_NAME)


def test_a_shop_without_parts_says_so(issued: Commands) -> None:
    assert issued("part", "list").out == "No parts have a serial yet.\n"


@pytest.mark.slow
def test_a_part_from_its_serial_to_its_end(demo: Commands) -> None:
    serial = "RU-7 [red]"
    assert [part["serial"] for part in demo("part", "list", "--json").json] == [ITS_PART]
    assert demo("part", "add", serial, "--job", "DEMO-2").status == 1
    assert demo("part", "add", serial, "--job", CLOSED, "--design", "RU").status == 0
    assert demo("part", "show", serial).status == 1  # nobody said when it is to be inspected
    every = ("--events", 2, "--hours", "10 h", "--months", 12, "--because", "the owner asks")
    assert demo("part", "every", serial, *every).status == 0
    assert demo("part", "install", serial, "car 12").status == 0
    assert demo("part", "use", serial, "race", "--events", 1, "--hours", "2 h").status == 0
    answer = demo("part", "use", serial, "race", "--events", 1, "--hours", "2 h")
    assert (answer.status, answer.err) == (1, "")
    assert answer.out.splitlines()[0] == "part used: RU-7 [red] (RU); inspection due"
    assert answer.out.splitlines()[1].startswith("  2 events of 2 events since ")
    assert (
        demo("part", "inspect", serial, "fit", "--finding", "crack test", "--measured", "D1=1.4 in").status
        == 0
    )
    assert demo("part", "crash", serial, "into a wall").status == 1
    shown = demo("part", "show", serial)
    assert shown.status == 1
    assert "INSPECT NOW, on car 12" in shown.out
    assert "inspected, fit: crack test; D1 1.4 in, as built 1.384 in: +0.016 in" in " ".join(
        shown.out.split()
    )
    assert demo("part", "remove", serial, "--because", "bent").status == 0
    assert demo("part", "inspect", serial, "not fit", "--finding", "bent by 2 mm").status == 1
    assert demo("part", "withdraw", serial, "--because", "bent").status == 0
    listed = demo("part", "list", "--json")
    states = {part["serial"]: part["state"] for part in listed.json}
    assert (listed.status, states) == (0, {serial: "withdrawn", ITS_PART: "inspection due"})
    history = demo("part", "history", "ru")
    assert history.status == 0
    assert "withdrawn: bent" in history.out
    assert demo("part", "history", "nothing").status == 1
    assert demo("verify", demo.shop).status == 0


@pytest.mark.slow
def test_what_cannot_be_is_said_in_a_sentence(demo: Commands) -> None:
    assert demo("part", "add", "S-1", "--job", CLOSED).status == 0
    for arguments, told in (
        (("show", "S-2"), 'there is no part "S-2"; the shop has: PB12-01, S-1'),
        (("crash", "S-1", "x", "--on", "2099-01-01"), "still to come"),
        (
            ("inspect", "S-1", "fit", "--finding", "x", "--measured", "38 mm"),
            "expected a dimension and its size",
        ),
        (("use", "S-1", "race"), "how much it was used is missing"),
    ):
        answer = demo("part", *arguments)
        assert (answer.status, answer.out) == (2, "")
        assert told in answer.err
        assert len(answer.err.splitlines()) == 1
