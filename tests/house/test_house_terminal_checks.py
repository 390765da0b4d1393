"""The table of terminal checks names tests that exist."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_every_test_in_the_table_of_terminal_checks_exists() -> None:
    table = (ROOT / "docs" / "terminal-checks.md").read_text(encoding="utf-8")
    rows = [line for line in table.splitlines() if re.match(r"\| \d+ \|", line)]
    assert [int(row.split("|")[1]) for row in rows] == list(range(1, 21))
    source = "\n".join(path.read_text(encoding="utf-8") for path in (ROOT / "tests").rglob("test_*.py"))
    for row in rows:
        names = re.findall(r"`(test_\w+|Test\w+)`", row.split("|")[3])
        assert names, row
        for name in names:
            assert re.search(rf"^(?:(?:async )?def {name}\(|{name} = )", source, re.MULTILINE), name
