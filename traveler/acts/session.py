"""Where a signature is given from: the account, the terminal, and the address at the other end of a connection."""

import contextlib
import os
import sys
from collections.abc import Mapping
from ipaddress import ip_address


def this_session(environ: Mapping[str, str]) -> dict[str, str | None]:
    """Account, terminal and origin of this process, None for what is not known.

    The account is that of the process and not what the environment says of it; the origin is what the SSH server put
    into the environment, which a person with a shell may change.
    """
    return {"os_user": _account(), "terminal": _terminal(), "origin": _origin(environ)}


def _account() -> str | None:
    try:
        import pwd
    except ImportError:  # a system that knows no such accounts
        import getpass

        with contextlib.suppress(OSError, ImportError, KeyError):
            return _printable(getpass.getuser())
        return None
    try:
        return _printable(pwd.getpwuid(os.getuid()).pw_name)
    except KeyError:
        return f"uid {os.getuid()}"


def _terminal() -> str | None:
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        # A stream that was closed, or that a program put in place of one.
        with contextlib.suppress(OSError, ValueError, AttributeError):
            return _printable(os.ttyname(stream.fileno()))
    return None


def _origin(environ: Mapping[str, str]) -> str | None:
    """The client's address out of SSH_CONNECTION: client address, client port, server address, server port."""
    found = environ.get("SSH_CONNECTION", "").split()
    with contextlib.suppress(ValueError):
        return str(ip_address(found[0])) if len(found) == 4 else None
    return None


def _printable(text: str) -> str | None:
    return text if text.isprintable() else None
