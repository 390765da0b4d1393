"""How the source is kept: its rooms, its sizes, its silences."""

import re
import statistics
import subprocess
import sys
from pathlib import Path

import pytest
from house_kit import PACKAGE, ROOT, run

MODULES = sorted(PACKAGE.rglob("*.py"))
OF_TESTS = sorted(path for path in (ROOT / "tests").rglob("*.py") if path != Path(__file__))
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "traveler", "tests", "fixtures", "docs"}
MADE_BY_TOOLS = {"build", "dist", "__pycache__"}
SILENCED = re.compile(
    r"#\s*noqa|#\s*type:\s*ignore|#\s*pragma:\s*no cover|\b(?:TODO|FIXME|XXX)\b|except Exception\b|except\s*:"
)


def test_modules_are_short() -> None:
    lengths = {path: len(path.read_text().splitlines()) for path in MODULES if path.read_text().strip()}
    assert statistics.median(lengths.values()) <= 150
    assert {path.name: length for path, length in lengths.items() if length > 400} == {}


@pytest.mark.parametrize("path", [*MODULES, *OF_TESTS], ids=lambda path: str(path.relative_to(ROOT)))
def test_nothing_is_silenced_or_left_open(path: Path) -> None:
    lines = enumerate(path.read_text().splitlines(), start=1)
    assert [(number, line) for number, line in lines if SILENCED.search(line)] == []


def test_the_top_level_is_exactly_what_it_should_be() -> None:
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert {name for name in found - MADE_BY_TOOLS if not name.endswith(".egg-info")} == TOP


def test_the_rooms_import_only_what_they_may() -> None:
    script = Path(sys.executable).with_name("lint-imports")
    found = run(str(script), "--no-cache")
    assert found.returncode == 0, found.stdout


def test_a_forbidden_import_is_caught(tmp_path: Path) -> None:
    """The contracts bite: a copy of the package in which metals opens a database breaks them."""
    subprocess.run(["cp", "-r", str(PACKAGE), str(ROOT / "pyproject.toml"), str(tmp_path)], check=True)
    with (tmp_path / "traveler" / "metals" / "arc.py").open("a") as module:
        module.write("\nimport sqlite3\n\nVERSION = sqlite3.sqlite_version\n")
    script = Path(sys.executable).with_name("lint-imports")
    found = run(str(script), "--no-cache", cwd=tmp_path)
    assert found.returncode == 1
    assert "traveler.metals.arc -> sqlite3" in found.stdout


def test_each_font_has_its_licence_beside_it() -> None:
    fonts = [path for kind in ("*.ttf", "*.otf") for path in ROOT.rglob(kind) if ".venv" not in path.parts]
    assert fonts
    for font in fonts:
        licences = [path.read_text() for path in font.parent.glob("LICENSE*")]
        assert any(font.name in text and "Permission is hereby granted" in text for text in licences), font
