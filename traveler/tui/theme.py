"""The themes, and how each word of state is drawn. The word says it; colour only helps."""

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
        "heading-background": "#282b2d",
        "heading-foreground": "#e4dfd5",
        "focus-background": "#3a3f42",
        "focus-foreground": "#f4f0e6",
        "field-text-style": "none",
        "faint": "#b3aea4",
        "focus-faint": "#b3aea4",
        "rule": "#4a5053",
        "bar": "#6b7174",
        "input-cursor-background": "#e4dfd5",
        "input-cursor-foreground": "#1a1c1d",
        "input-cursor-text-style": "none",
        "input-selection-background": "#5a4a2c",
        "input-selection-foreground": "#f4f0e6",
    },
)
"""Calm and dark. For terminals with 256 colours or more, as the two that follow."""

DAYLIGHT = Theme(
    name="daylight",
    primary="#5a2c00",
    secondary="#24506a",
    accent="#24506a",
    warning="#5f2a00",
    error="#96260c",
    success="#23571f",
    foreground="#24282a",
    background="#fafaf7",
    surface="#fafaf7",
    panel="#ecece8",
    dark=False,
    variables={
        "block-cursor-background": "#d9dad6",
        "block-cursor-foreground": "#101314",
        "block-cursor-text-style": "bold",
        "heading-background": "#ecece8",
        "heading-foreground": "#24282a",
        "focus-background": "#d9dad6",
        "focus-foreground": "#101314",
        "field-text-style": "none",
        "faint": "#50544f",
        "focus-faint": "#50544f",
        "rule": "#a7aaa4",
        "bar": "#868a84",
        "input-cursor-background": "#24282a",
        "input-cursor-foreground": "#fafaf7",
        "input-cursor-text-style": "none",
        "input-selection-background": "#b9cdd6",
        "input-selection-foreground": "#101314",
    },
)
"""Calm and light, for a bright shop."""

CONTRAST = Theme(
    name="contrast",
    primary="#ffffff",
    secondary="#ffffff",
    accent="#ffffff",
    warning="#ffff55",
    error="#ffff55",
    success="#ffffff",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#000000",
    dark=True,
    text_alpha=1.0,
    variables={
        "block-cursor-background": "#000000",
        "block-cursor-foreground": "#ffffff",
        # Reversed, a word in yellow on the row of the cursor becomes black on yellow.
        "block-cursor-text-style": "bold reverse",
        "heading-background": "#ffffff",
        "heading-foreground": "#000000",
        "focus-background": "#ffffff",
        "focus-foreground": "#000000",
        "field-text-style": "underline",
        "faint": "#ffffff",
        "focus-faint": "#000000",
        "rule": "#ffffff",
        "bar": "#ffffff",
        "input-cursor-background": "#000000",
        "input-cursor-foreground": "#ffffff",
        "input-cursor-text-style": "none",
        "input-selection-background": "#ffff55",
        "input-selection-foreground": "#000000",
    },
)
"""Black, white and yellow, for tired eyes and glare. These three are in every palette, so 16 colours will do."""

TERMINAL = Theme(
    name="terminal",
    ansi=True,
    primary="ansi_default",
    secondary="ansi_default",
    accent="ansi_default",
    warning="ansi_default",
    error="ansi_default",
    success="ansi_default",
    foreground="ansi_default",
    background="ansi_default",
    surface="ansi_default",
    panel="ansi_default",
    boost="ansi_default",
    variables={
        "ansi-background": "ansi_default",
        "ansi-foreground": "ansi_default",
        "border-blurred": "ansi_default",
        "screen-selection-background": "ansi_default",
        "screen-selection-foreground": "ansi_default",
        "block-cursor-background": "ansi_default",
        "block-cursor-foreground": "ansi_default",
        "block-cursor-text-style": "bold reverse",
        "heading-background": "ansi_default",
        "heading-foreground": "ansi_default",
        "focus-background": "ansi_default",
        "focus-foreground": "ansi_default",
        "field-text-style": "none",
        "faint": "ansi_default",
        "focus-faint": "ansi_default",
        "rule": "ansi_default",
        "bar": "ansi_default",
        "input-cursor-background": "ansi_default",
        "input-cursor-foreground": "ansi_default",
        "input-cursor-text-style": "reverse",
        "input-selection-background": "ansi_default",
        "input-selection-foreground": "ansi_default",
    },
)
"""Nothing but the terminal's own two colours, dark or light, with bold, underline and reverse."""

THEMES = (WORKBENCH, DAYLIGHT, CONTRAST, TERMINAL)

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
    "at vendor": "~",
    "received": ">",
    "not accepted": "!",
    "called off": "~",
}
"""A sign before each word of state, in ASCII, so that a column of them reads at a glance."""

_COLOURS: Mapping[str, str] = {
    "met": "$success",
    "accepted": "$success",
    "closed": "$success",
    "conditional": "$warning",
    "performed": "$accent",
    "in work": "$accent",
    "in process": "$accent",
    "ready": "$primary",
    "not met": "bold $error",
    "open": "bold $error",
    "changed": "bold $error",
    "failed": "bold $error",
    "refused": "bold $error",
    "released": "$success",
    "attended": "$success",
    "blocked": "bold $error",
    "to sign": "$primary",
    "to do": "$accent",
    "waits": "$warning",
    "at vendor": "$warning",
    "received": "$accent",
    "not accepted": "bold $error",
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
    "not accepted": "bold",
}


def tone(word: str, *, plain: bool) -> str:
    """The style of a word of state; none where colours are few, but bold where it matters."""
    return (_PLAIN if plain else _COLOURS).get(word, "")


def marked(word: str) -> str:
    """A word of state behind its sign: "! not met"."""
    return f"{MARKS.get(word, ' ')} {word}"
