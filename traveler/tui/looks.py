"""Which themes a terminal can show, and which of them it gets."""

from collections.abc import Mapping
from dataclasses import dataclass

from traveler.errors import BadInput
from traveler.tui.terminal import few_colours
from traveler.tui.theme import CONTRAST, DAYLIGHT, TERMINAL, THEMES, WORKBENCH

VARIABLE = "TRAVELER_THEME"
NAMES: tuple[str, ...] = tuple(theme.name for theme in THEMES)


@dataclass(frozen=True, slots=True)
class Looks:
    """The names of the themes that the terminal can show, and the one to begin with. ``stated``: by the environment."""

    offered: tuple[str, ...] = NAMES
    theme: str = WORKBENCH.name
    stated: bool = False


CALM = Looks()
PLAIN = Looks((TERMINAL.name,), TERMINAL.name)
"""Without colours only those that the terminal has by itself are certain to be readable."""


def looks_for(environ: Mapping[str, str], chosen: str) -> Looks:
    """The theme that TRAVELER_THEME names, else the one that was ``chosen`` before, else by the terminal's background.

    What the terminal cannot show gives way to its own colours. Raises BadInput where TRAVELER_THEME names none.
    """
    asked = environ.get(VARIABLE, "")
    if asked and asked not in NAMES:
        raise BadInput(f"{VARIABLE} is {asked!r}, expected one of: {', '.join(NAMES)}")
    if environ.get("NO_COLOR"):
        return PLAIN
    offered, usual = NAMES, (DAYLIGHT if _is_light(environ) else WORKBENCH)
    if few_colours(environ):
        offered, usual = (TERMINAL.name, CONTRAST.name), TERMINAL
    wanted = asked or chosen
    return Looks(offered, wanted if wanted in offered else usual.name, bool(asked))


def _is_light(environ: Mapping[str, str]) -> bool:
    """Whether the terminal says that its background is light: COLORFGBG, "0;15", the background last.

    7 and 15 are the two whites of the 16 colours.
    """
    return environ.get("COLORFGBG", "").rpartition(";")[2] in ("7", "15")
