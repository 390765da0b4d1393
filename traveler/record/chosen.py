"""What this account chose for itself, such as the theme: kept outside the shop's file, a small file for each choice."""

import os
from collections.abc import Mapping

from traveler.record.place import chosen_folder

MOST_BYTES = 200


def chosen(environ: Mapping[str, str], what: str) -> str:
    """What was chosen; empty where nothing was, or where it cannot be read."""
    try:
        with (chosen_folder(environ) / what).open("rb") as file:
            return file.read(MOST_BYTES).decode().strip()
    except (OSError, ValueError, RuntimeError):
        return ""


def choose(environ: Mapping[str, str], what: str, value: str) -> None:
    """Remember ``value``, readable by this account alone. Raises OSError, RuntimeError where that cannot be done."""
    path = chosen_folder(environ) / what
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    working = path.with_name(f".{what}.{os.urandom(4).hex()}")
    try:
        with os.fdopen(os.open(working, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
            file.write(f"{value}\n")
        # Renamed into place: whoever reads at that moment reads the one or the other.
        working.replace(path)
    finally:
        working.unlink(missing_ok=True)
