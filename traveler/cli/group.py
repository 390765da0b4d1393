"""A command that is a group of commands."""

import click


class Group(click.Group):
    """A group that says of each of its commands what it does, whole and in the order in which they were written."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The commands in their order."""
        return list(self.commands)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """One entry a command, not cut short."""
        with formatter.section("Commands"):
            formatter.write_dl(
                [(name, command.get_short_help_str(limit=200)) for name, command in self.commands.items()]
            )
