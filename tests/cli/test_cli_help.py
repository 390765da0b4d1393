"""Help, the page of commands, and what a command loads."""

import json
import re
import subprocess
import sys
from collections.abc import Iterator

import click
import pytest
from cli_kit import ROOT, Commands

from traveler import __version__
from traveler.cli.root import COMMANDS, root

PAGE = ROOT / "docs" / "commands.md"


def every_command(group: click.Group = root, above: str = "") -> Iterator[tuple[str, click.Command]]:
    """Every command and those of the groups among them, by what is typed to call it."""
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        assert command is not None
        yield f"{above}{name}", command
        if isinstance(command, click.Group):
            yield from every_command(command, f"{above}{name} ")


@pytest.mark.parametrize("name", COMMANDS)
def test_the_table_says_what_the_command_says(name: str) -> None:
    command = root.get_command(click.Context(root), name)
    assert command is not None
    assert command.name == name
    assert command.get_short_help_str(limit=200).rstrip(".") == COMMANDS[name][2]


def test_every_option_has_help() -> None:
    for name, command in (("traveler", root), *every_command()):
        for parameter in command.params:
            if isinstance(parameter, click.Option):
                assert parameter.help, f"{name} {parameter.name}"


@pytest.mark.parametrize("name", [name for name, _ in every_command()])
def test_help_is_printed(traveler: Commands, name: str) -> None:
    answer = traveler(*name.split(), "--help")
    assert (answer.status, answer.err) == (0, "")
    assert answer.out.startswith(f"Usage: traveler {name} ")


def test_the_page_names_every_command_and_option() -> None:
    page = PAGE.read_text(encoding="utf-8")
    for name, command in every_command():
        assert f"`traveler {name}" in page, name
        for parameter in command.params:
            if isinstance(parameter, click.Option):
                for spelling in parameter.opts:
                    assert re.search(rf"(?<![-\w]){re.escape(spelling)}(?![-\w])", page), f"{name} {spelling}"
            else:
                assert parameter.human_readable_name in page
                assert parameter.name is not None


def test_the_page_names_no_command_or_option_that_is_not_there() -> None:
    page = PAGE.read_text(encoding="utf-8")
    known = {"--help", "--version", "--"}
    for _, command in every_command():
        known |= {spelling for parameter in command.params for spelling in parameter.opts}
    assert set(re.findall(r"(?<![-\w`|])--[a-z]+(?:-[a-z]+)*", page)) <= known
    assert set(re.findall(r"`traveler ([a-z]+)", page)) <= set(COMMANDS)


def test_version(traveler: Commands) -> None:
    assert traveler.process("--version").out == f"traveler {__version__}\n"


def loaded_by(traveler: Commands, *arguments: object) -> set[str]:
    """Names of the modules that a process has loaded after a command."""
    script = (
        "import sys, json; from traveler.cli.main import run; run(sys.argv[1:]); "
        "print(json.dumps(sorted(sys.modules)), file=sys.stderr)"
    )
    ended = subprocess.run(
        [sys.executable, "-c", script, *map(str, arguments)],
        capture_output=True,
        env=traveler.outside(),
        text=True,
        timeout=60,
        check=True,
    )
    return set(json.loads(ended.stderr.splitlines()[-1]))


def test_the_version_alone_is_answered_before_the_commands_are_loaded(traveler: Commands) -> None:
    assert not loaded_by(traveler, "--version") & {"click", "traveler.cli.root"}
    beside_another = traveler.process("--version", "--shop", "some.db")
    assert (beside_another.status, beside_another.out) == (0, traveler.process("--version").out)


@pytest.mark.parametrize("option", ["--version", "--help"])
def test_version_and_help_load_nothing_of_the_house(traveler: Commands, option: str) -> None:
    loaded = loaded_by(traveler, option)
    of_the_house = {name for name in loaded if name.startswith("traveler.")}
    assert of_the_house <= {
        "traveler.cli",
        "traveler.cli.main",
        "traveler.cli.ending",
        "traveler.cli.root",
        "traveler.cli.common",
        "traveler.cli.output",
        "traveler.errors",
    }
    assert not loaded & {"sqlite3", "sqlite_utils", "textual", "pint", "typst", "rich", "fractions"}


@pytest.mark.slow
@pytest.mark.parametrize(
    "arguments",
    [
        ("list",),
        ("plan", ROOT / "fixtures" / "sheets" / "bracket.toml"),
        ("show", "B-101"),
        ("record", "B-101", 30, "preheat temperature", "312 F"),
        ("sign", "B-101", 10, "--as", "performed"),
        ("export", "B-101", "--format", "json", "-o", "-"),
    ],
    ids=lambda arguments: arguments[0],
)
def test_bench_commands_load_no_heavy_library(issued: Commands, arguments: tuple[object, ...]) -> None:
    loaded = loaded_by(issued, *arguments)
    assert "traveler.acts" in loaded or "traveler.record.shop" in loaded
    # rich.cells, the widths of letters, is all that the text of a report needs of rich.
    assert not loaded & {"textual", "rich.console", "pint", "sqlite_utils", "typst"}


@pytest.mark.parametrize(
    "name", [name for name, command in every_command() if isinstance(command, click.Group)]
)
def test_a_group_says_what_it_is_followed_by(traveler: Commands, name: str) -> None:
    group = root.get_command(click.Context(root), name)
    assert isinstance(group, click.Group)
    answer = traveler(name)
    assert (answer.status, answer.out) == (2, "")
    offered = ", ".join(group.list_commands(click.Context(group)))
    assert (
        answer.err
        == f"traveler: traveler {name} is followed by one of: {offered}; see traveler {name} --help\n"
    )
