"""A job sheet put together in the app: what is still wrong with it, and saved as a file to read and edit."""

import os
from pathlib import Path

from traveler.errors import BadInput, BadSheet, TravelerError
from traveler.job.sheet_reader import read_sheet
from traveler.library.load import load_library

LONGEST_PATH = 200
"""Characters of a path that are said in a sentence about it."""


def sheet_faults(text: str) -> tuple[str, ...]:
    """Every fault of a job sheet under way, one sentence each with its place; none where it can be planned."""
    try:
        read_sheet(text, load_library())
    except BadSheet as bad:
        return bad.faults
    return ()


def save_sheet(file: str, text: str) -> Path:
    """Write ``text`` to a new file as ``save_new`` does."""
    return save_new(file, text.encode("utf-8"), "B-208.toml")


def save_new(file: str, content: bytes, example: str) -> Path:
    """Write a new file, whole or not at all, and say where. A file that is there already stays as it is.

    Raises BadInput for a name that cannot be used or is taken (``example`` is one that can be), TravelerError where the
    file cannot be written.
    """
    if not file.strip():
        raise BadInput(f"the name of the file is empty; expected one such as {example}")
    said = file if len(file) <= LONGEST_PATH else f"{file[: LONGEST_PATH - 3]}..."
    try:
        path = Path(os.path.abspath(os.path.expanduser(file.strip())))
        if path.is_dir():
            raise BadInput(f"{said} is a folder; expected the name of a new file")
        _write_new(path, content)
    except FileExistsError as error:
        raise BadInput(
            f"{said} is there already and stays as it is; expected the name of a new file"
        ) from error
    except (OSError, ValueError) as error:
        told = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise TravelerError(f"{said} cannot be written: {told}") from error
    return path


def _write_new(path: Path, content: bytes) -> None:
    """Raises FileExistsError where anything has that name; what was begun and not finished is taken away again."""
    with open(path, "xb") as new:
        try:
            new.write(content)
            new.flush()
            os.fsync(new.fileno())
        except OSError:
            path.unlink(missing_ok=True)
            raise
