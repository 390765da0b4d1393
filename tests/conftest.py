"""What every test starts from: an environment without the tester's own settings, and folders nobody uses."""

import gc
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

# textual reads its variables when it is imported, so they go before any test module is.
OURS = ("TEXTUAL", "TRAVELER_")
TERMINAL = (
    *(
        "NO_COLOR",
        "FORCE_COLOR",
        "COLORTERM",
        "CLICOLOR",
        "CLICOLOR_FORCE",
        "TTY_COMPATIBLE",
        "TTY_INTERACTIVE",
    ),
    *("COLUMNS", "LINES", "ESCDELAY", "TMUX", "STY", "TERM_PROGRAM", "PYTHONIOENCODING"),
)
FOLDERS = (
    "HOME",
    "XDG_DATA_HOME",
    "XDG_CONFIG_HOME",
    "XDG_CACHE_HOME",
    "XDG_STATE_HOME",
    "LOCALAPPDATA",
    "APPDATA",
)

for name in [name for name in os.environ if name.startswith(OURS) or name in TERMINAL]:
    del os.environ[name]
os.environ["TERM"] = "xterm-256color"

settings.register_profile("usual", deadline=None, max_examples=60)
settings.register_profile("thorough", deadline=None, max_examples=1000)
# A full run on a busy machine must give the same answer each time.
settings.register_profile(
    "ci", deadline=None, max_examples=30, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "usual"))


@pytest.fixture(scope="session", autouse=True)
def home() -> Iterator[Path]:
    """A home and data folders of the test run's own: no test ever sees the tester's shop file."""
    folder = Path(tempfile.mkdtemp(prefix="traveler-tests-"))
    with pytest.MonkeyPatch.context() as patch:
        for name in FOLDERS:
            patch.setenv(name, str(folder / name.lower()))
            (folder / name.lower()).mkdir()
        yield folder
    shutil.rmtree(folder)


def pytest_collection_finish() -> None:
    """What is collected lives to the end: looked at by no collection of garbage again, a run takes a twelfth less."""
    gc.collect()
    gc.freeze()


def pytest_addoption(parser: pytest.Parser) -> None:
    """``--regold`` writes the golden files of the screens and the pictures of the docs anew."""
    parser.addoption("--regold", action="store_true", help="write fixtures/golden and docs/*.svg anew")
