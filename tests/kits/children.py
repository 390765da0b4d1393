"""A child process with a Python of its own that sees the same packages and kits as the test."""

import os
import subprocess
import sys


def start(script: str, *arguments: object, **environment: str) -> subprocess.Popen[str]:
    """Begin ``script``; ``environment`` comes on top of this process's own."""
    return subprocess.Popen(
        [sys.executable, "-W", "error", "-c", script, *map(str, arguments)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), **environment},
    )


def finish(child: subprocess.Popen[str], seconds: float = 60) -> str:
    """The child's output, once it has ended well."""
    output, errors = child.communicate(timeout=seconds)
    assert child.returncode == 0, errors
    return output
