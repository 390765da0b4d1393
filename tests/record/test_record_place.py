"""Where the shop's file lives when nobody names one."""

from pathlib import Path

import pytest

from traveler.record.place import default_shop_path, unfinished_folder


@pytest.mark.parametrize(
    ("platform", "environ", "expected"),
    [
        ("linux", {"TRAVELER_SHOP": "/srv/bench.db", "HOME": "/home/a"}, "/srv/bench.db"),
        ("linux", {"HOME": "/home/a"}, "/home/a/.local/share/traveler/shop.traveler"),
        ("linux", {"HOME": "/home/a", "TRAVELER_SHOP": ""}, "/home/a/.local/share/traveler/shop.traveler"),
        ("linux", {"HOME": "/home/a", "XDG_DATA_HOME": "/data"}, "/data/traveler/shop.traveler"),
        # XDG Base Directory Specification: relative paths are to be ignored.
        (
            "linux",
            {"HOME": "/home/a", "XDG_DATA_HOME": "data"},
            "/home/a/.local/share/traveler/shop.traveler",
        ),
        ("darwin", {"HOME": "/Users/a"}, "/Users/a/Library/Application Support/traveler/shop.traveler"),
        ("win32", {"LOCALAPPDATA": "/c/Local"}, "/c/Local/traveler/shop.traveler"),
    ],
)
def test_the_platforms_folder(
    platform: str, environ: dict[str, str], expected: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.platform", platform)
    assert default_shop_path(environ) == Path(expected)


def test_what_is_half_typed_lies_with_the_programs_state() -> None:
    assert unfinished_folder({"HOME": "/home/a", "XDG_STATE_HOME": "/state"}) == Path(
        "/state/traveler/unfinished"
    )
