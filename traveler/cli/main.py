"""Where the command ``traveler`` begins and ends."""

import io
import sys
from collections.abc import Sequence

from traveler.cli.ending import Ending
from traveler.cli.output import VERSION, say


def main() -> None:
    """Run the command line of this process and exit with its status."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # On a terminal that cannot show a letter, its number is shown: a name must not stop an answer.
            stream.reconfigure(errors="backslashreplace")
    sys.exit(run(sys.argv[1:]))


def run(arguments: Sequence[str]) -> int:
    """Run one command and return its exit status; whatever went wrong has been told on stderr by then."""
    with Ending() as ending:
        if list(arguments) == ["--version"]:
            # Asked by scripts again and again: answered without the commands, which take longer to load than to answer.
            say(f"{VERSION}\n")
            return ending.status
        # Imported under the eyes of Ending, so that Ctrl-C during the start is an interruption, too.
        from traveler.cli.root import root

        ending.status = (
            root.main(list(arguments), prog_name="traveler", standalone_mode=False) or ending.status
        )
    return ending.status
