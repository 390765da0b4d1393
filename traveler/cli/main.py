"""Where the command ``traveler`` begins and ends."""

import gc
import io
import sys
from collections.abc import Sequence

from traveler.cli.ending import Ending
from traveler.cli.output import VERSION, say

NEW_OBJECTS = 20_000
"""After so many Python looks for rings of dead objects. It would after 700, time and again while modules and plans are
made that live as long as the process: a twentieth of the time that a plan takes."""


def main() -> None:
    """Run the command line of this process and exit with its status."""
    gc.set_threshold(NEW_OBJECTS)
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
        if not arguments:
            # The app, without the commands: they would hold up its first paint.
            from traveler.cli.opening import open_app

            ending.status = open_app()
            return ending.status
        # Imported under the eyes of Ending, so that Ctrl-C during the start is an interruption, too.
        from traveler.cli.root import root

        ending.status = (
            root.main(list(arguments), prog_name="traveler", standalone_mode=False) or ending.status
        )
    return ending.status
