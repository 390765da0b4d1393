"""The page of outside checks says what the data and the program say, and leaves no row out."""

import ast
from pathlib import Path

import checks_open_data
import pytest
from checks_model import DIFFERS, PUBLISHED, Block, load
from checks_table import PAGE, TOPICS, blocks, page, second_routes

HERE = Path(__file__).parent
BLOCKS = blocks()


def test_the_page_is_what_the_data_make() -> None:
    """To write it again: python tests/metals/checks_table.py."""
    assert PAGE.read_text(encoding="utf-8") == page()


def test_every_file_has_its_section() -> None:
    assert {path.stem for path in PUBLISHED.glob("*.toml")} == set(TOPICS)


@pytest.mark.parametrize("topic", TOPICS)
def test_every_row_of_a_file_is_there(topic: str) -> None:
    expected: dict[str, int] = {}
    for check in load(topic)["check"]:
        expected[check["source"]] = expected.get(check["source"], 0) + len(check.get("table", [None]))
    found: dict[str, int] = {}
    for block in BLOCKS[topic]:
        if block.source in expected:
            found[block.source] = found.get(block.source, 0) + len(block.rows)
    assert found == expected


@pytest.mark.parametrize(
    "block", [block for group in BLOCKS.values() for block in group], ids=lambda b: b.method
)
def test_no_answer_in_words_differs(block: Block) -> None:
    assert all(DIFFERS not in row.errors for row in block.rows)
    assert all(row.expected != "OUTSIDE" for row in block.rows)


@pytest.mark.parametrize(("file", "test"), [(r["file"], r["test"]) for r in second_routes()])
def test_every_second_route_is_gone_by_a_test(file: str, test: str) -> None:
    nodes = ast.walk(ast.parse((HERE / file).read_text(encoding="utf-8")))
    assert test in {node.name for node in nodes if isinstance(node, ast.FunctionDef)}


@pytest.mark.skipif(
    not (checks_open_data.STARTS.exists() and checks_open_data.TEMPERING.exists()),
    reason="the open data are not beside the project (shared/data): the frozen results are not measured again",
)
def test_the_open_data_still_say_so() -> None:
    measured = checks_open_data.measured()
    results = checks_open_data.frozen()["result"]
    assert {result["name"] for result in results} == set(measured)
    for result in results:
        rows, mean, rms = measured[result["name"]]
        assert rows == result["rows"], result["name"]
        assert (mean, rms) == pytest.approx((float(result["mean"]), float(result["rms"])), abs=0.06)
