"""Two calm themes of our own, and how each word of state is drawn. The word says it; colour only helps."""

from collections.abc import Mapping

from textual.theme import Theme

WORKBENCH = Theme(
    name="workbench",
    primary="#d9b36c",
    secondary="#9db8c4",
    accent="#9db8c4",
    warning="#e5b567",
    error="#f0997a",
    success="#a3c99a",
    foreground="#e4dfd5",
    background="#1a1c1d",
    surface="#1a1c1d",
    panel="#282b2d",
    dark=True,
    variables={
        "block-cursor-background": "#3a3f42",
        "block-cursor-foreground": "#f4f0e6",
        "block-cursor-text-style": "bold",
        "input-cursor-background": "#e4dfd5",
        "input-cursor-foreground": "#1a1c1d",
        "input-cursor-text-style": "none",
    },
)
"""For terminals with 256 colours or more."""

PLAIN = "ansi-dark"
"""The terminal's own foreground and background, for 16 colours, and for NO_COLOR."""

MARKS = {
    "met": "+",
    "conditional": "~",
    "not met": "!",
    "not shown": "-",
    "accepted": "+",
    "performed": "*",
    "in work": ">",
    "ready": ">",
    "not ready": "-",
    "open": "!",
    "changed": "!",
    "released": "+",
    "waived": "~",
    "notified": ">",
    "attended": "+",
    "lapsed": "~",
    "proposed": ">",
    "approved": ">",
    "refused": "!",
    "re-verified": ">",
    "failed": "!",
    "closed": "+",
    "void": "~",
    "blocked": "!",
    "to sign": "*",
    "to do": ">",
    "waits": "~",
}
"""A sign before each word of state, in ASCII, so that a column of them reads at a glance."""

_COLOURS: Mapping[str, str] = {
    "met": "#a3c99a",
    "accepted": "#a3c99a",
    "closed": "#a3c99a",
    "conditional": "#e5b567",
    "performed": "#9db8c4",
    "in work": "#9db8c4",
    "in process": "#9db8c4",
    "ready": "#d9b36c",
    "not met": "bold #f0997a",
    "open": "bold #f0997a",
    "changed": "bold #f0997a",
    "failed": "bold #f0997a",
    "refused": "bold #f0997a",
    "released": "#a3c99a",
    "attended": "#a3c99a",
    "blocked": "bold #f0997a",
    "to sign": "#d9b36c",
    "to do": "#9db8c4",
    "waits": "#e5b567",
}
_PLAIN: Mapping[str, str] = {
    "not met": "bold",
    "ready": "bold",
    "open": "bold",
    "changed": "bold",
    "failed": "bold",
    "refused": "bold",
    "blocked": "bold",
    "to sign": "bold",
}


def tone(word: str, *, plain: bool) -> str:
    """The style of a word of state; none where colours are few, but bold where it matters."""
    return (_PLAIN if plain else _COLOURS).get(word, "")


def marked(word: str) -> str:
    """A word of state behind its sign: "! not met"."""
    return f"{MARKS.get(word, ' ')} {word}"
