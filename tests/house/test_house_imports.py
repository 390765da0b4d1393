"""What is loaded at run time. A start is slow by what it imports, and a contract on source text cannot see that."""

import json
from pathlib import Path

import pytest
from house_kit import PACKAGE, SHEETS, python

from traveler.acts.clock import SystemClock
from traveler.acts.issue import issue
from traveler.job.state import Person
from traveler.record.shop import Shop

LOADED = "\nimport json, sys\nprint(json.dumps(sorted(sys.modules)))"
HEAVY = {"textual", "pint", "sqlite_utils", "typst", "numpy", "scipy"}
CORE = ("acts", "job", "library", "metals", "quantity", "record", "report")
ENTRIES_ONLY = {"migrate"}  # the runner of migrations is imported when a file is made or upgraded


def loaded_by(code: str, *arguments: str) -> set[str]:
    """The modules in memory after ``code``, by their first name for what is not ours."""
    found = python(code + LOADED, *arguments)
    assert found.returncode == 0, found.stderr
    names = json.loads(found.stdout.splitlines()[-1])
    return {name if name.startswith("traveler") else name.partition(".")[0] for name in names}


@pytest.mark.parametrize("room", CORE)
def test_the_core_loads_nothing_heavy(room: str) -> None:
    paths = [path for path in (PACKAGE / room).rglob("*.py") if path.stem not in ENTRIES_ONLY]
    names = [".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts) for path in paths]
    loaded = loaded_by(f"import importlib\nfor name in {names!r}:\n    importlib.import_module(name)")
    assert HEAVY & loaded == set()
    assert not any(name.startswith(("traveler.tui", "traveler.cli")) for name in loaded)


def test_metals_load_the_standard_library_only() -> None:
    names = [f"traveler.metals.{path.stem}" for path in (PACKAGE / "metals").glob("*.py")]
    loaded = loaded_by(
        "import importlib\nfor name in " + repr(names) + ":\n    importlib.import_module(name)"
    )
    rooms = {name.split(".")[1] for name in loaded if name.startswith("traveler.")}
    assert rooms == {"metals"}
    assert {"click", "rich", "sqlite3", *HEAVY} & loaded == set()


def test_a_plan_needs_neither_a_database_nor_an_app() -> None:
    code = (
        "import sys\nfrom pathlib import Path\nfrom traveler.job.plan import plan_job\n"
        "from traveler.job.sheet_reader import decode_sheet, read_sheet\n"
        "from traveler.library.load import load_library\n"
        "library = load_library()\n"
        "plan_job(read_sheet(decode_sheet(Path(sys.argv[1]).read_bytes()), library), library)"
    )
    loaded = loaded_by(code, str(SHEETS / "tube-to-plate.toml"))
    assert {"sqlite3", "click", *HEAVY} & loaded == set()


def test_the_commands_start_without_what_they_do_not_use() -> None:
    loaded = loaded_by("import traveler.cli.main")
    assert {"sqlite3", *HEAVY} & loaded == set()


def test_the_board_loads_nothing_of_a_single_job_nor_of_plans() -> None:
    loaded = loaded_by("import traveler.tui.app")
    assert (
        not {f"traveler.job.{name}" for name in ("state", "fold", "gate", "judge", "view", "part")} & loaded
    )
    assert not any(
        name.startswith(("traveler.library", "traveler.metals", "traveler.chart")) for name in loaded
    )


def test_planning_a_sheet_loads_nothing_that_judges_or_stores() -> None:
    loaded = loaded_by("import traveler.acts.planning, traveler.job.view_plan, traveler.report.text")
    assert not {f"traveler.job.{name}" for name in ("fold", "gate", "judge", "view")} & loaded
    assert not any(name.startswith("traveler.record") for name in loaded)


def test_judging_loads_nothing_that_plans() -> None:
    loaded = loaded_by("import traveler.job.gate, traveler.job.view")
    assert not {f"traveler.job.{name}" for name in ("plan", "preheat", "relief", "sensitivity")} & loaded
    assert not any(name.startswith("traveler.job.steps") for name in loaded)


def test_one_reading_loads_no_migrations_and_no_pint(tmp_path: Path) -> None:
    path = tmp_path / "shop.traveler"
    with Shop.create(path) as shop:
        issue(shop, SystemClock(), Person("Ana"), (SHEETS / "structural.toml").read_bytes())
        (number,) = shop.job_numbers()
    code = (
        "import sys\nfrom pathlib import Path\nfrom traveler.acts.clock import SystemClock\n"
        "from traveler.acts.readings import NewReading, record_reading\n"
        "from traveler.acts.change import load_job\n"
        "from traveler.job.state import Person\nfrom traveler.record.shop import Shop\n"
        "with Shop.open(Path(sys.argv[1])) as shop:\n"
        "    step, wanted = next((s, r) for s in load_job(shop, sys.argv[2]).plan.steps for r in s.requirements\n"
        "                        if r.unit == 'degC')\n"
        "    entered = NewReading(step.number, wanted.quantity, '68 F')\n"
        "    assert record_reading(shop, SystemClock(), Person('Ana'), sys.argv[2], entered).recorded"
    )
    assert HEAVY & loaded_by(code, str(path), number) == set()


def test_the_board_comes_before_what_commands_and_forms_need() -> None:
    loaded = loaded_by("import traveler.cli.main, traveler.cli.opening, traveler.tui.app")
    later = {"click", "zoneinfo", "traveler.tui.widgets.field", "traveler.job.state", "traveler.library.load"}
    assert later & loaded == set()
