"""The page docs/checks.md, made of the data that the tests use. Run this file to write it again."""

import tomllib
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import checks_heat_rows as heat
import checks_rows as rows
from checks_model import Block
from checks_open_data import frozen

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "checks.md"

TOPICS: dict[str, tuple[str, Callable[[], Iterator[Block]]]] = {
    "carbon_equivalents": ("Carbon equivalents", rows.carbon_equivalents),
    "validity": ("Ranges of the carbon equivalents", rows.validity),
    "arc": ("Arc energy and heat input", rows.arc),
    "method_b": ("Minimum preheat: EN 1011-2 method B, SEW 088", rows.method_b),
    "preheat_gates": ("Minimum preheat: Seferian, method A", rows.preheat_gates),
    "measuring": ("Where and when to measure", rows.measuring),
    "cooling_time": ("Cooling time", heat.cooling),
    "haz_hardness": ("Hardness beside a weld run", heat.haz_hardness),
    "maynier": ("Maynier", heat.maynier),
    "hardness_scales": ("Hardness scales", rows.hardness_scales),
    "martensite": ("Martensite", heat.martensite),
    "bainite": ("Bainite", heat.bainite),
    "lower_critical": ("Ac1", rows.lower_critical),
    "upper_critical": ("Ac3", rows.upper_critical),
    "tempering": ("Tempering", heat.tempering),
    "hold_times": ("Hold of a stress relief", rows.hold_times),
    "rate_limits": ("Heating and cooling rates", rows.rate_limits),
    "hydrogen": ("Hydrogen", heat.hydrogen),
    "preheat_loss": ("How long preheat lasts", heat.preheat_loss),
    "visual": ("Visual limits and general tolerances", rows.visual),
}
"""File in fixtures/published: its heading, and what runs its rows."""

ROUTES = Path(__file__).with_name("checks_second_routes.toml")

HEAD = """# Outside checks

What the formulas and tables of [methods](methods.md) and [methods, heat](methods-heat.md) were held against. This page
is made by the data that the tests use (`fixtures/published`); a test fails where it differs. To write it again:

    .venv/bin/python tests/metals/checks_table.py

**published**: a source prints the result, and the program has to find it. **recomputed**: no source prints one; the
number was worked out by another route, which a test goes again. That shows the arithmetic, not that the formula was
read rightly: for that the [mark](methods.md#how-to-read-a-number) stands beside it. Error is program less expected,
with one digit more than the source gives.
The millivolts of thermocouples are held against another program's tables in the tests, not here.
"""


def blocks() -> dict[str, list[Block]]:
    """The blocks of every topic."""
    return {topic: list(run()) for topic, (_, run) in TOPICS.items()}


def page() -> str:
    """The whole page."""
    found = blocks()
    return "\n".join([HEAD, *_summary(found), *_open_data(), *_second_routes(), *_every_row(found)])


def _summary(found: dict[str, list[Block]]) -> Iterator[str]:
    count = Counter(block.origin for group in found.values() for block in group for _ in block.rows)
    yield "## Summary\n"
    yield f"{count['published']} rows published, {count['recomputed']} recomputed.\n"
    yield "| method | source | mark | origin | rows | greatest error |\n|---|---|---|---|---|---|"
    for group in found.values():
        for block in group:
            unit = f" {block.unit}" if block.unit and block.largest[-1].isdigit() else ""
            yield (
                f"| {block.method} | {block.source} | `{block.mark}` | {block.origin} | {len(block.rows)} "
                f"| {block.largest}{unit} |"
            )
    yield ""


def _open_data() -> Iterator[str]:
    data = frozen()
    yield "## Open data\n"
    yield (
        f"The project holds no copy of these files. Measured on {data['measured_on']}; a test measures again where the "
        "files lie beside the project.\n"
    )
    yield "| method | data | rows | mean error | root mean square |\n|---|---|---|---|---|"
    for result in data["result"]:
        unit, mean = result["unit"], result["mean"].replace("-", "−")
        source = data["source"][result["data"]]
        yield f"| {result['method']} | {source} | {result['rows']} | {mean} {unit} | {result['rms']} {unit} |"
    yield ""


def second_routes() -> list[dict[str, str]]:
    """The second ways to a number, with the test that goes each."""
    found: list[dict[str, str]] = tomllib.loads(ROUTES.read_text(encoding="utf-8"))["route"]
    return found


def _second_routes() -> Iterator[str]:
    yield "## Second routes\n"
    yield "| what | held against | agrees within | test in `tests/metals/` |\n|---|---|---|---|"
    for route in second_routes():
        test = f"{route['file']}: {route['test']}"
        yield f"| {route['what']} | {route['against']} | {route['within']} | {test} |"
    yield ""


def _every_row(found: dict[str, list[Block]]) -> Iterator[str]:
    yield "## Every row\n"
    for topic, group in found.items():
        yield f"### {TOPICS[topic][0]}\n"
        for block in group:
            unit = f", {block.unit}" if block.unit else ""
            yield f"**{block.method}**{unit}; {block.origin}; {block.source}; `{block.mark}`\n"
            if block.note:
                yield f"{block.note}\n"
            yield "| inputs | expected | reproduced | error |\n|---|---|---|---|"
            for row in block.rows:
                yield f"| {row.inputs} | {row.expected} | {row.found} | {' / '.join(row.errors)} |"
            yield ""


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
