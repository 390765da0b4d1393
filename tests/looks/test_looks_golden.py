"""Every screen at five sizes, letter by letter. ``pytest --regold`` writes them anew; the diff shows what changed."""

import importlib
import inspect
import pkgutil
from pathlib import Path
from typing import Any

import pytest
from looks_kit import SIZES, shots
from looks_screens import SCREENS

from traveler.tui import screens
from traveler.tui.screens.page import Page

GOLDEN = Path(__file__).parents[2] / "fixtures" / "golden"


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", sorted(SCREENS))
def test_the_screen_is_as_it_was(name: str, size: tuple[int, int], pytestconfig: pytest.Config) -> None:
    file = GOLDEN / f"{size[0]}x{size[1]}" / f"{name}.txt"
    text = shots(size)[name].text
    if pytestconfig.getoption("regold"):
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
    assert text == file.read_text(encoding="utf-8")


def test_no_golden_file_is_left_of_a_screen_that_is_gone() -> None:
    expected = {f"{width}x{height}/{name}.txt" for width, height in SIZES for name in SCREENS}
    assert {file.relative_to(GOLDEN).as_posix() for file in GOLDEN.rglob("*.*")} == expected


def test_every_screen_is_in_the_list() -> None:
    for module in pkgutil.iter_modules(screens.__path__):
        importlib.import_module(f"{screens.__name__}.{module.name}")
    source = inspect.getsource(importlib.import_module("looks_screens"))
    missing = [found.__name__ for found in _opened(Page) if f"{found.__name__}" not in source]
    assert not missing, f"add to looks_screens.py: {missing}"


def _opened(base: type[Any]) -> list[type[Any]]:
    """The screens at the ends of the lines of descent, which are those that are opened."""
    children = [child for child in base.__subclasses__() if child.__module__.startswith("traveler.")]
    return [found for child in children for found in _opened(child)] if children else [base]
