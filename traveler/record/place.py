"""Where the shop's file lives when nobody names one, where the program keeps what it noticed, and one's own keys."""

import sys
from collections.abc import Mapping
from pathlib import Path

FILE_NAME = "shop.traveler"


def default_shop_path(environ: Mapping[str, str]) -> Path:
    """TRAVELER_SHOP where set, else ``traveler/shop.traveler`` in the platform's folder for user data."""
    named = environ.get("TRAVELER_SHOP")
    if named:
        return Path(named)
    return _data_folder(environ) / "traveler" / FILE_NAME


def seen_folder(environ: Mapping[str, str]) -> Path:
    """``traveler/seen`` in the platform's folder for a program's state: what this account saw of each shop."""
    return _folder(environ, "XDG_STATE_HOME", ".local/state") / "traveler" / "seen"


def key_file(environ: Mapping[str, str]) -> Path:
    """``traveler/keys.toml`` in the platform's folder for what an account has set for itself."""
    return _folder(environ, "XDG_CONFIG_HOME", ".config") / "traveler" / "keys.toml"


def unfinished_folder(environ: Mapping[str, str]) -> Path:
    """``traveler/unfinished`` beside it: what was typed and not recorded, a folder a shop."""
    return _folder(environ, "XDG_STATE_HOME", "state") / "traveler" / "unfinished"


def chosen_folder(environ: Mapping[str, str]) -> Path:
    """``traveler/chosen`` in the platform's folder for a program's state: what this account chose for itself."""
    return _folder(environ, "XDG_STATE_HOME", "state") / "traveler" / "chosen"


def _data_folder(environ: Mapping[str, str]) -> Path:
    return _folder(environ, "XDG_DATA_HOME", ".local/share")


def _folder(environ: Mapping[str, str], variable: str, below_home: str) -> Path:
    home = Path(environ["HOME"]) if environ.get("HOME") else Path.home()
    if sys.platform == "win32":
        local = environ.get("LOCALAPPDATA")
        return Path(local) if local else Path.home() / "AppData" / "Local"
    if sys.platform == "darwin":
        return home / "Library" / "Application Support"
    # XDG Base Directory Specification: a relative path in this variable is invalid and is ignored.
    stated = Path(environ.get(variable, ""))
    return stated if stated.is_absolute() else home / below_home
