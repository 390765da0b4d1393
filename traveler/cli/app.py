"""The app on a demo shop, as text where there is no terminal; its keys."""

import os
import tempfile
from pathlib import Path

import click

from traveler.cli.ending import DONE
from traveler.cli.opening import run_app
from traveler.cli.output import say


@click.command()
def demo() -> int:
    """Open the app on a fresh copy of the demo shop.

    The demo shop and everything in it is invented; it is made anew in a temporary folder and goes with it.
    Without a terminal, print the job that waits for a reading and what blocks its first open step.
    """
    from traveler.acts.clock import SystemClock
    from traveler.demo.build import build_demo
    from traveler.tui.terminal import refusal

    refused = refusal(os.environ)
    with tempfile.TemporaryDirectory(prefix="traveler-demo-") as folder:
        path, number = build_demo(Path(folder), SystemClock())
        if refused is None:
            return run_app(path, number, lasting=False)
        _print_demo(path, number, refused)
        return DONE


@click.command()
def keys() -> int:
    """Print the keys of the app, as a file of one's own keys to begin with.

    The first line says where that file belongs. What stands there already is held against every screen of the app;
    status 2 and one sentence where it is wrong.
    """
    from traveler.tui.app import own_keys_text

    say(own_keys_text())
    return DONE


def _print_demo(path: Path, number: str, refused: str) -> None:
    """The demo job as text: first what blocks the step it stands at, then all its steps."""
    from traveler.acts.change import load_job
    from traveler.acts.clock import SystemClock
    from traveler.job.gate import blockers
    from traveler.job.view import current_step, traveler_object
    from traveler.record.shop import Shop
    from traveler.report.text import show_text
    from traveler.report.words import visible

    now = SystemClock().now()
    with Shop.open(path, read_only=True) as shop:
        state = load_job(shop, number)
    lines = ["Demo shop, all of it invented, as text:", f"{refused}."]
    step = current_step(state)
    if step is not None:
        lines += ["", f"Job {number} stands at step {step.number}, {step.title}. What blocks it:"]
        lines += [f"  {reason}" for reason in blockers(state, step, now)]
    say("".join(f"{visible(line)}\n" for line in [*lines, ""]) + show_text(traveler_object(state, now)))
