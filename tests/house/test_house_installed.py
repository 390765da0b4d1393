"""The package as it is installed, seen from a folder without its source: nothing that it needs stayed behind."""

import json
import sys
from pathlib import Path

import pytest
from house_kit import PACKAGE, SHEETS, run

LEFT_BEHIND = ("__pycache__",)


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The installed package's folder; skips where there is none but a source tree, this one or another copy."""
    # -I: neither the current folder nor PYTHONPATH, so only what is installed is found.
    asked = (
        "import importlib.metadata, json, pathlib, traveler; "
        "origin = importlib.metadata.distribution('traveler').read_text('direct_url.json'); "
        "print(json.dumps([str(pathlib.Path(traveler.__file__).resolve().parent), json.loads(origin or '{}')]))"
    )
    found = run(sys.executable, "-I", "-c", asked, cwd=tmp_path_factory.mktemp("elsewhere"))
    if found.returncode != 0:
        pytest.skip("the package is not installed for this Python; pip install '.[test]' installs it")
    folder, origin = json.loads(found.stdout)
    if origin.get("dir_info", {}).get("editable"):
        pytest.skip("installed as a link to a source tree, which shows nothing about a wheel")
    return Path(folder)


def test_every_file_of_the_package_is_in_the_wheel(installed: Path) -> None:
    source = {path for path in PACKAGE.rglob("*") if path.is_file() and "__pycache__" not in path.parts}
    different = [
        str(path.relative_to(PACKAGE))
        for path in sorted(source)
        if not (installed / path.relative_to(PACKAGE)).is_file()
        or (installed / path.relative_to(PACKAGE)).read_bytes() != path.read_bytes()
    ]
    assert different == []


def traveler(cwd: Path, *arguments: str) -> str:
    """What the installed program prints when it is run in ``cwd``."""
    code = "import sys; from traveler.cli.main import main; sys.argv[0] = 'traveler'; main()"
    found = run(sys.executable, "-I", "-c", code, *arguments, cwd=cwd)
    assert found.returncode in (0, 1), found.stderr
    return found.stdout


def test_it_plans_stores_and_prints_from_anywhere(installed: Path, tmp_path: Path) -> None:
    """The library's TOML, the sheets' template and the fonts come along."""
    sheet = str(SHEETS / "tube-to-plate.toml")
    assert "preheat" in traveler(tmp_path, "plan", sheet)
    traveler(tmp_path, "--shop", "shop.traveler", "new", sheet)
    number = traveler(tmp_path, "--shop", "shop.traveler", "list").split()[0]
    traveler(tmp_path, "--shop", "shop.traveler", "export", number, "--format", "pdf", "-o", "job.pdf")
    assert (tmp_path / "job.pdf").read_bytes().startswith(b"%PDF")


def test_the_demo_shop_comes_along(installed: Path, tmp_path: Path) -> None:
    assert "preheat" in traveler(tmp_path, "demo")
