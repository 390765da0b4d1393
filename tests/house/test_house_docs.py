"""What the documents say of the code: every source is listed, every allowed word stands there, the examples run."""

import ast
import json
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import get_args

import pytest
from house_kit import PACKAGE, ROOT, SHEETS

from traveler.acts.clock import SystemClock
from traveler.acts.issue import issue, plan_sheet
from traveler.acts.look import export
from traveler.job import fold, fold_nonconformance, fold_points, fold_settling, part_fold, register_fold
from traveler.job.decision_rule import DECISION_RULES
from traveler.job.person import ROLES
from traveler.job.sheet import Check, Condition, Form, RepairOf, StepKind, Straightening, Task
from traveler.job.sheet_joint import JOINT_TYPES, RESTRAINTS
from traveler.job.sheet_metal import CERTIFICATES
from traveler.job.state import Person
from traveler.library.coating import load_coating
from traveler.library.load import load_library
from traveler.library.model import Units
from traveler.metals.outcome import Mark, Source
from traveler.record.connection import SETTINGS
from traveler.record.shop import Shop

DOCS = ROOT / "docs"
RECORD, SHEET, SOURCES = ((DOCS / f"{name}.md").read_text() for name in ("record", "job-sheet", "sources"))
METHODS = "".join((DOCS / f"{name}.md").read_text() for name in ("methods", "methods-heat"))


def example(document: str, kind: str) -> str:
    """The first block of that kind in a document."""
    found = re.search(rf"^```{kind}\n(.*?)^```$", document, re.MULTILINE | re.DOTALL)
    assert found
    return found[1]


def sources() -> Iterator[tuple[str, str]]:
    """Title and mark of every source that a data file, a line of code or a constant of a module names."""
    for path in (PACKAGE / "library" / "data").glob("*.toml"):
        for source in tomllib.loads(path.read_text()).get("source", {}).values():
            if "title" in source:
                yield source["title"], source["mark"]
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Source":
                texts = [argument.value for argument in node.args[:2] if isinstance(argument, ast.Constant)]
                if len(texts) == 2:
                    yield str(texts[0]), str(texts[1])
    for path in (*(PACKAGE / "metals").glob("*.py"), *(PACKAGE / "job").rglob("*.py")):
        module = import_module(".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts))
        for value in vars(module).values():
            if isinstance(value, Source) and value.title:
                yield value.title, value.mark


@pytest.mark.parametrize(("title", "mark"), sorted(set(sources())))
def test_every_source_stands_in_the_table_with_its_mark(title: str, mark: str) -> None:
    rows = [line for line in SOURCES.splitlines() if line.startswith(f"| {title} |")]
    assert any(f"| `{mark}` |" in row for row in rows)


def test_the_table_lists_no_source_that_nothing_uses() -> None:
    table = SOURCES[SOURCES.index("| source | edition") :].splitlines()[2:]
    assert {line.split(" | ")[0].removeprefix("| ") for line in table if line} == {t for t, _ in sources()}


def test_every_method_and_table_is_described() -> None:
    library = load_library()
    roles = {method for methods in library.preheat_roles.values() for method in methods}
    names = {*roles, *library.preheat_tables, *library.preheat_roles, *library.profiles, *library.waiting}
    assert [name for name in sorted(names) if name not in METHODS] == []


def test_every_grade_is_filed_under_its_family() -> None:
    rows = [line for line in METHODS.splitlines() if line.startswith("| ")]
    for steel in load_library().steels.values():
        row = next(
            line
            for line in rows
            if line.startswith(f"| {steel.family} | EN")
            or (line.startswith(f"| {steel.family} | ") and "governs" not in line)
        )
        assert steel.name in row.split(" | ")[2].removesuffix(" |").split(", "), steel.name


def test_every_mark_is_explained() -> None:
    assert all(f"| `{mark}` |" in METHODS for mark in get_args(Mark))


def test_every_row_of_the_grade_table_stands_there_as_printed() -> None:
    table = load_library().preheat_tables["grade table 4130"]
    section = METHODS.split("### Grade table 4130")[1].split("###")[0]
    header, _, values = (line for line in section.splitlines() if line.startswith("|"))
    ends = [f"{row.up_to.inch.text} in" for row in table.rows if row.up_to and row.up_to.inch]
    assert [cell.strip() for cell in header.strip("|").split("|")] == ["up to", *ends, "above"]
    for cell, row in zip(values.strip("|").split("|")[1:], table.rows, strict=True):
        assert row.minimum.inch
        assert cell.strip().startswith(f"{row.minimum.inch.text} °F")


def test_every_row_of_the_bake_after_plating_stands_there() -> None:
    section = METHODS.split("### Coating")[1].split("##")[0]
    strength, _, hardness, hours = (
        line.strip("| ").split(" | ") for line in section.splitlines() if "|" in line
    )
    assert [(s, h, t) for s, h, t in zip(strength[1:], hardness[1:], hours[1:], strict=True)] == [
        (row.strength_up_to.text, str(row.below_hrc), str(row.hours)) for row in load_coating().rows
    ]


@pytest.mark.parametrize(
    "word",
    [*get_args(Condition), *get_args(Form), *get_args(StepKind), *get_args(Units), *JOINT_TYPES, *RESTRAINTS,
     *get_args(Check), *get_args(Straightening), *get_args(RepairOf), *get_args(Task), *load_coating().processes,
     *CERTIFICATES, *DECISION_RULES, *ROLES, *load_library().processes, *load_library().profiles],
)  # fmt: skip
def test_every_word_that_a_sheet_may_use_is_listed(word: str) -> None:
    assert f"`{word}`" in SHEET


@pytest.mark.parametrize("classification", load_library().classifications())
def test_every_filler_is_listed(classification: str) -> None:
    assert re.search(rf"\b{re.escape(classification)}\b", SHEET)


def test_the_sheet_in_the_document_has_no_fault_and_no_conflict() -> None:
    assert plan_sheet(example(SHEET, "toml").encode()).all_conflicts == ()


def test_every_kind_of_event_is_listed() -> None:
    folds = (fold, fold_points, fold_nonconformance, fold_settling, register_fold, part_fold)
    named = [item for module in folds for item in vars(module).items()]
    kinds = {value for name, value in named if name.isupper() and isinstance(value, str)}
    assert [kind for kind in sorted(kinds) if f"`{kind}`" not in RECORD] == []


def test_every_setting_of_the_file_has_its_reason() -> None:
    assert [s for s in SETTINGS if f"`{s.removeprefix('PRAGMA ')}`" not in RECORD] == []


def test_an_export_verifies_by_the_lines_in_the_document(tmp_path: Path) -> None:
    """With the standard library alone, in a process that knows nothing of this package."""
    with Shop.create(tmp_path / "shop.traveler") as shop:
        issue(shop, SystemClock(), Person("Ana"), (SHEETS / "tube-to-plate.toml").read_bytes())
        (number,) = shop.job_numbers()
        raw = export(shop, number, "json")
    good, bad = tmp_path / "good.json", tmp_path / "bad.json"
    good.write_bytes(raw)
    altered = json.loads(raw)
    altered["events"][0] = altered["events"][0].replace("Ana", "Ben", 1)
    bad.write_text(json.dumps(altered))
    statuses = [
        subprocess.run(
            [sys.executable, "-I", "-c", example(RECORD, "python"), str(path)], cwd=tmp_path, check=False
        ).returncode
        for path in (good, bad)
    ]
    assert statuses == [0, 1]
