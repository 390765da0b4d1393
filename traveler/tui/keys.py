"""Every key of the app, once: the screens bind these, the help screen and docs/keys.md list them.

The keys that open, close or record are priority keys, and so are those that move the focus or pick an option: keys
that arrive in one burst are taken in the order in which they were pressed, and none lands in a form that an earlier
one closes. A form lets its field take what was typed before it records or closes.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from textual.binding import Binding


@dataclass(frozen=True, slots=True)
class Group:
    """The keys of one kind of screen, under a heading."""

    title: str
    keys: tuple[Binding, ...]


def _pressed(key: str, action: str, words: str, name: str, tooltip: str, shown: str | None = None) -> Binding:
    return Binding(
        key, action, words, show=shown is not None, key_display=shown, priority=True, tooltip=tooltip, id=name
    )


def _moving(key: str, action: str, name: str, tooltip: str) -> Binding:
    return Binding(key, action, tooltip, show=False, priority=True, tooltip=tooltip, id=name)


def _queued(key: str, action: str, words: str, name: str, tooltip: str, shown: str | None = None) -> Binding:
    return Binding(key, action, words, show=shown is not None, key_display=shown, tooltip=tooltip, id=name)


MOVE = (
    _moving("up", "move('up')", "list.up", "Move up"),
    _moving("down", "move('down')", "list.down", "Move down"),
    _moving("home", "move('home')", "list.first", "To the first line"),
    _moving("end", "move('end')", "list.last", "To the last line"),
    _moving("pageup", "page('up')", "list.page_up", "Page up; on a step, page through its details"),
    _moving("pagedown", "page('down')", "list.page_down", "Page down; on a step, page through its details"),
)
HELP = _pressed("question_mark", "help", "Help", "app.help", "The keys and the words of the app", "?")
HELP_ANYWHERE = _queued("f1", "help", "Help", "app.help_anywhere", "The same help, on every screen")
BACK = _pressed("q", "back", "Back", "list.back", "Back to the screen before", "q")
ESCAPE = _pressed("escape", "back", "Back", "list.escape", "Back to the screen before")
HELP_ON_FORM = _pressed("f1", "help", "Help", "form.help", "The keys and the words of the app", "F1")
QUIT = _queued(
    "ctrl+q", "quit", "Leave", "app.quit", "Leave the program; asks where something typed is not recorded"
)
COPY = _queued(
    "ctrl+c", "help_quit", "Copy", "app.copy", "Copy what is marked in a field; elsewhere says how to leave"
)

BOARD_OPEN = _pressed("enter", "open", "Open job", "board.open", "Open the job", "Enter")
BOARD_QUIT = _pressed("q", "quit", "Leave", "board.quit", "Leave the program", "q")
BOARD_NEW = _pressed(
    "n",
    "new",
    "New job",
    "board.new",
    "Put a new job together, page by page; goes on with one that was begun",
    "n",
)

JOB_OPEN = _pressed("enter", "open", "Open step", "job.open", "Open the step", "Enter")
JOB_CLOSE = _pressed(
    "x", "close_job", "Close job", "job.close", "Close the job once every step is accepted", "x"
)

JOB_ROUTES = _pressed(
    "o", "routes", "Routes", "job.routes", "The routes of a joint: preheat, or heat afterwards", "o"
)

STEP_RECORD = _pressed(
    "enter", "record", "Record", "step.enter", "Record a reading of the requirement", "Enter"
)
STEP_R = _pressed("r", "record", "Record", "step.record", "Record a reading of the requirement")
STEP_PERFORM = _pressed("p", "perform", "Performed", "step.perform", "Sign the step as performed", "p")
STEP_ACCEPT = _pressed(
    "a", "accept", "Accept", "step.accept", "Sign the step as accepted, by another person", "a"
)
STEP_WORKING = _pressed("w", "working", "Working", "step.working", "The working behind the limit", "w")
STEP_CORRECT = _pressed(
    "c", "correct", "Correct", "step.correct", "Supersede a wrong entry, with its reason", "c"
)
STEP_RETRY = _pressed(
    "t", "retry", "Try again", "step.retry", "Heat again after a cold preheat, with the reason", "t"
)
STEP_ROUTES = _pressed(
    "o", "routes", "Routes", "step.routes", "The routes of the joint: preheat, or heat afterwards", "o"
)

STEP_CHARTS = _pressed(
    "g", "charts", "Charts", "step.charts", "The recorded charts of the step; attach another", "g"
)
STEP_POINTS = _pressed("h", "points", "Holds", "step.points", "The hold and witness points of the step", "h")
STEP_NONCONFORMANCES = _pressed(
    "n", "nonconformances", "Nonconforming", "step.nonconformances", "The nonconformances of the step", "n"
)
STEP_NOT_APPLICABLE = _pressed(
    "d",
    "not_applicable",
    "Not applicable",
    "step.not_applicable",
    "Say that a requirement does not apply",
    "d",
)
STEP_ANSWER = _pressed(
    "i", "answer", "In question", "step.answer", "Answer for readings whose instrument was found wrong", "i"
)
POINT_KEYS = tuple(
    _pressed(key, f"sign('{name}')", words, f"points.{name}", tooltip, key)
    for key, name, words, tooltip in (
        ("r", "release", "Release", "Release a hold, on what the step holds now"),
        ("w", "waive", "Waive", "Give a hold or witness point up for good"),
        ("n", "notify", "Notify", "Note that a party was told that it can witness"),
        ("a", "attend", "Attend", "Sign as the party that witnessed the step"),
    )
)
NONCONFORMANCE_KEYS = (
    _pressed("enter", "open", "Read", "nonconformances.open", "Read all that was done about it", "Enter"),
    *(
        _pressed(key, f"sign('{name}')", words, f"nonconformances.{name}", tooltip, key)
        for key, name, words, tooltip in (
            ("n", "new", "Open new", "Open one: say what does not comply"),
            ("p", "propose", "Propose", "Propose a disposition: rework, repair, use as is, scrap, ..."),
            ("a", "approve", "Approve", "Approve the disposition that was proposed"),
            ("f", "refuse", "Refuse", "Refuse the disposition that was proposed, with the reason"),
            ("v", "reverify", "Re-verify", "Say what the part showed when it was looked at again"),
            ("x", "close", "Close", "Close it once what was approved is done"),
            ("d", "void", "Void", "Say that it was opened in error"),
        )
    ),
)
CHART_LIST_KEYS = (
    _pressed("enter", "open", "Open chart", "charts.open", "In the list of charts: that chart", "Enter"),
    _pressed("n", "attach", "Attach", "charts.attach", "Attach the file that a logger wrote", "n"),
)
CHART_KEYS = (
    _pressed("f", "fault(1)", "Failing place", "chart.next", "To the next place that fails", "f"),
    _pressed("b", "fault(-1)", "Before", "chart.previous", "To the failing place before", "b"),
    _pressed("0", "whole", "Whole chart", "chart.whole", "The whole chart again", "0"),
)

ROUTES_OPEN = _pressed(
    "enter", "open", "Open joint", "routes.open", "In the list of joints: that joint", "Enter"
)
ROUTES_PARTS = tuple(
    _pressed(key, f"part('{part}')", words, f"routes.{part}", tooltip, key)
    for key, part, words, tooltip in (
        ("1", "combinations", "Combinations", "To the combinations: which satisfy, which do not"),
        ("2", "as-welded", "As welded", "To hardness as welded against preheat"),
        ("3", "relieved", "After relief", "To hardness after relief against its temperature"),
        ("4", "grounds", "Grounds", "To the limits, the choices and what the numbers rest on"),
    )
)

REVIEW_KEYS = (
    _pressed(
        "f10", "release", "Sign and issue", "review.release", "Release the job as it is shown, signed", "F10"
    ),
    _moving("ctrl+s", "release", "review.release_too", "The same as F10"),
    _pressed("s", "save", "Save sheet", "review.save", "Save the job sheet as a new file", "s"),
    _pressed(
        "enter",
        "change",
        "Change",
        "review.change",
        "Change that part of the sheet, or what is wrong with it",
        "Enter",
    ),
)

COMMIT_S = _moving("ctrl+s", "commit", "form.commit_too", "The same as F10")
FORM_ESCAPE = _pressed(
    "escape", "leave", "Back", "form.leave", "Back; what was typed is kept for the next time", "Esc"
)
NEXT = _moving("tab", "app.focus_next", "form.next", "To the next field")
PREVIOUS = _moving("shift+tab", "app.focus_previous", "form.previous", "To the field before")
ENTER_NEXT = _moving("enter", "next_field", "form.enter", "To the next field")
PICK = tuple(
    _moving(str(digit), f"pick({digit})", f"choice.pick_{digit}", "In a list of choices: take that one")
    for digit in range(1, 10)
)
CHOICE_UP = _moving("up", "step(-1)", "choice.up", "In a list of choices: the one above")
CHOICE_DOWN = _moving("down", "step(1)", "choice.down", "In a list of choices: the one below")


def commit(words: str) -> Binding:
    """F10 with what it does on the form at hand."""
    return _pressed("f10", "commit", words, "form.commit", "Record or sign what the form says", "F10")


LIST_KEYS = (*MOVE, HELP, HELP_ANYWHERE, BACK, ESCAPE)
BOARD_KEYS = (BOARD_OPEN, BOARD_NEW, BOARD_QUIT)
JOB_KEYS = (JOB_OPEN, JOB_ROUTES, JOB_CLOSE)
STEP_KEYS = (
    STEP_RECORD,
    STEP_PERFORM,
    STEP_ACCEPT,
    STEP_WORKING,
    STEP_ROUTES,
    STEP_CHARTS,
    STEP_POINTS,
    STEP_NONCONFORMANCES,
    STEP_CORRECT,
    STEP_RETRY,
    STEP_NOT_APPLICABLE,
    STEP_ANSWER,
    STEP_R,
)
FORM_PAGE = (
    _queued("pageup", "page('up')", "Page up", "form.page_up", "Page up in what the form is about"),
    _queued("pagedown", "page('down')", "Page down", "form.page_down", "Page down in what the form is about"),
)
LAST_SHOWN = ("back", "leave", "help")
"""Actions whose keys stand at the end of the line of keys and are never left out of it."""
FORM_KEYS = (commit("Record"), COMMIT_S, FORM_ESCAPE, NEXT, PREVIOUS, ENTER_NEXT, *FORM_PAGE, HELP_ON_FORM)
CHOICE_KEYS = (*PICK, CHOICE_UP, CHOICE_DOWN)

GROUPS: Sequence[Group] = (
    Group("On lists", LIST_KEYS),
    Group("The board of jobs", BOARD_KEYS),
    Group("A job", JOB_KEYS),
    Group("A step", STEP_KEYS),
    Group("Hold and witness points", POINT_KEYS),
    Group("Nonconformances", NONCONFORMANCE_KEYS),
    Group("Recorded charts", (*CHART_LIST_KEYS, *CHART_KEYS)),
    Group("Routes", (ROUTES_OPEN, *ROUTES_PARTS)),
    Group("The review of a new job", REVIEW_KEYS),
    Group("Forms", (*FORM_KEYS, *CHOICE_KEYS)),
    Group("Everywhere", (QUIT, COPY)),
)

_NAMES = {
    "question_mark": "?",
    "f1": "F1",
    "f10": "F10",
    "escape": "Esc",
    "enter": "Enter",
    "tab": "Tab",
    "shift+tab": "Shift+Tab",
    "ctrl+s": "Ctrl+S",
    "ctrl+q": "Ctrl+Q",
    "ctrl+c": "Ctrl+C",
    "up": "Up",
    "down": "Down",
    "home": "Home",
    "end": "End",
    "pageup": "Page Up",
    "pagedown": "Page Down",
}


def key_name(binding: Binding) -> str:
    """A key as it is printed on the keyboard: "Enter", "F10", "r"."""
    return _NAMES.get(binding.key, binding.key)


def listed(group: Group) -> list[tuple[str, str]]:
    """The keys of a group with what they do; keys that do the same stand together ("1 to 9", "Enter or r")."""
    names: dict[str, list[str]] = {}
    for binding in group.keys:
        names.setdefault(binding.tooltip, []).append(key_name(binding))
    return [
        (" or ".join(keys) if len(keys) < 3 else f"{keys[0]} to {keys[-1]}", words)
        for words, keys in names.items()
    ]
