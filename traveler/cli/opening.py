"""The app on the shop's file, opened without what only commands need."""

import os
from pathlib import Path

from traveler.cli.who import stated_person
from traveler.errors import TravelerError


def open_app(path: Path | None = None) -> int:
    """Open the app on a shop's file, which is made where there is none; without a path on the one that is usual."""
    from traveler.record.place import default_shop_path
    from traveler.tui.terminal import refusal

    # Asked before the app is loaded: without a terminal the answer comes at once.
    refused = refusal(os.environ)
    if refused:
        raise TravelerError(refused)
    return run_app(default_shop_path(os.environ) if path is None else path, None)


def run_app(path: Path, start_job: str | None, *, lasting: bool = True) -> int:
    """Run the app for the person whom the environment names; as ``traveler.tui.app.run``."""
    person = stated_person(os.environ.get("TRAVELER_BY") or None)
    from traveler.tui.app import run

    return run(path, person.name, start_job, lasting=lasting)
