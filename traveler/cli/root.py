"""The command ``traveler`` with its subcommands; each is imported only when it is called."""

from importlib import import_module

import click

from traveler.cli.common import shop_option, shop_path
from traveler.cli.output import VERSION

COMMANDS = {
    "demo": ("app", "demo", "Open the app on a fresh copy of the demo shop"),
    "plan": ("plan", "plan", "Print what each step of a job sheet needs and why; store nothing"),
    "routes": (
        "routes",
        "routes",
        "Weigh preheat against heat afterwards: which combinations satisfy the limits; store nothing",
    ),
    "chart": (
        "chart",
        "chart",
        "Judge a recorded chart against a rule profile and show where it fails; store nothing",
    ),
    "new": ("jobs", "new", "Put a job into the shop's file and issue revision 1 of its traveler"),
    "list": ("jobs", "list_jobs", "List the jobs, what they wait for, and what is due"),
    "again": (
        "again",
        "again",
        "Write the sheet for making a part again, to be filled in for its new heats of steel",
    ),
    "compare": (
        "again",
        "compare",
        "Lay a sheet beside a job: which limits and steps differ, and what on the sheet makes it so",
    ),
    "show": ("jobs", "show", "Show a job's steps, requirements, readings and verdicts"),
    "record": ("bench", "record", "Record a reading as it was made, complying or not"),
    "supersede": ("bench", "supersede", "Correct a wrong entry, or take it back"),
    "retry": ("bench", "retry", "Open another attempt of a preheat that was too cold"),
    "attach": ("attach", "attach", "Keep a file with a step; a chart is judged and counts as its readings"),
    "sign": ("sign", "sign", "Sign a step as performed or as accepted"),
    "revise": ("change", "revise", "Issue the next revision of a job from a changed sheet"),
    "split": ("pieces", "split", "Let some pieces of a job go on as a job of their own"),
    "pieces": ("pieces", "pieces", "Say that pieces of a job were scrapped or lost; the others go on"),
    "join": ("pieces", "join", "Join pieces of other jobs in an assembly, which is a job of its own"),
    "close": ("change", "close", "Close a job whose every step is accepted"),
    "cancel": ("change", "cancel", "End a job without completing it"),
    "export": (
        "papers",
        "export",
        "Write the traveler as PDF, JSON, text, Markdown or a packet, or its readings as CSV",
    ),
    "paper": ("paper", "paper", "Print a blank traveler, a tag for a hot part or a label, as PDF"),
    "verify": ("papers", "verify", "Check that a shop file, a JSON export or a packet is unaltered"),
    "hold": ("hold", "hold", "List, release and waive holds; notify and witness at witness points"),
    "outside": (
        "outside",
        "outside",
        "Send work to a vendor, receive it, and review the certificate that came with it",
    ),
    "ncr": ("ncr", "ncr", "Open nonconformances of a job, and take each to its disposition and its closing"),
    "na": ("ncr", "na", "Say that a requirement does not apply, with the reason"),
    "instrument": (
        "instrument",
        "instrument",
        "Register the instruments of the shop, their calibrations, and what was found wrong with them",
    ),
    "lot": ("lot", "lot", "Register the lots of material and filler that the shop received"),
    "where": ("lot", "where", "Tell in which jobs, joints, steps and runs a heat or a filler lot is"),
    "part": (
        "part",
        "part",
        "Follow parts by their serial: what car they are on, their use, when they are inspected, and what was found",
    ),
    "person": ("person", "person", "Register the people of the shop, their roles, processes and secrets"),
    "setting": (
        "setting",
        "setting",
        "List and change the settings of the shop: its name, zone, paper, decision rule, idle lock, backup reminder",
    ),
    "keys": ("app", "keys", "Print the keys of the app, as a file of one's own keys to begin with"),
    "backup": ("keep", "backup", "Copy the shop's file, and verify the copy"),
    "restore": ("keep", "restore", "Make the shop's file from a backup"),
}
"""Command: its module in this package, its name there, and what it does in a line."""


class LazyGroup(click.Group):
    """A group that knows what its commands do without importing them."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The commands in the order in which a job needs them."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, imported now."""
        if cmd_name not in COMMANDS:
            return None
        module, attribute, _ = COMMANDS[cmd_name]
        command = getattr(import_module(f"traveler.cli.{module}"), attribute)
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """One line a command, from the table."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, _, line) in COMMANDS.items()])


@click.group(
    cls=LazyGroup,
    invoke_without_command=True,
    epilog="Exit status: 0 done; 1 done, and the answer is no; 2 could not be done; 130 interrupted.",
)
@shop_option
@click.version_option(message=VERSION)
@click.pass_context
def root(context: click.Context) -> int | None:
    """Take a welding job through its steps: limits from the metal, acceptance only when the readings comply.

    Without a command, open the app on the shop's file.
    """
    if context.invoked_subcommand is not None:
        return None
    from traveler.cli.opening import open_app

    return open_app(shop_path())
