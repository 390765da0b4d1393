"""Every key of the app, once: the screens bind these, the help screen and docs/keys.md list them.

The keys that open, close or record are priority keys, and so are those that move the focus or pick an option: keys
that arrive in one burst are taken in the order in which they were pressed, and none lands in a form that an earlier
one closes. A form lets its field take what was typed before it records or closes.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from string import punctuation

from textual.binding import Binding
from textual.keys import _character_to_key


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
HELP = _pressed(
    "question_mark", "help", "Help", "app.help", "What this screen is for, its keys, the words", "?"
)
HELP_ANYWHERE = _queued("f1", "help", "Help", "app.help_anywhere", "The same help, on every screen")
BACK = _pressed("q", "back", "Back", "list.back", "Back to the screen before", "q")
ESCAPE = _pressed("escape", "back", "Back", "list.escape", "Back to the screen before")
HELP_ON_FORM = _pressed(
    "f1", "help", "Help", "form.help", "What this form is for, its fields, its keys, the words", "F1"
)
ACTIONS = _pressed("f2", "actions", "All", "app.actions", "Everything that can be done, to choose from", "F2")
UNFINISHED = _pressed(
    "u", "unfinished", "Unfinished", "list.unfinished", "What was typed and is not recorded", "u"
)
QUIT = _queued(
    "ctrl+q", "quit", "Leave", "app.quit", "Leave the program; asks where something typed is not recorded"
)
COPY = _queued(
    "ctrl+c", "help_quit", "Copy", "app.copy", "Copy what is marked in a field; elsewhere says how to leave"
)
STAY = _queued(
    "ctrl+z", "help_quit", "Stay", "app.stay", "Nothing is sent to the background; says how to leave"
)

UNFINISHED_KEYS = (
    _pressed(
        "enter", "take_up", "Take up", "unfinished.take_up", "Open the form with what was typed", "Enter"
    ),
    _pressed("d", "discard", "Throw away", "unfinished.discard", "Throw away what was typed; asks once", "d"),
)

THEME = _moving(
    "f9", "theme", "app.theme", "The next theme: dark, light, high contrast, the terminal's own colours"
)

BOARD_OPEN = _pressed("enter", "open", "Open job", "board.open", "Open the job", "Enter")
BOARD_VIEW = _pressed(
    "v", "view", "View", "board.view", "The next view: all open, blocked, to sign, due, ended", "v"
)
BOARD_FIND = _pressed(
    "slash", "find", "Find", "board.find", "Find jobs by number, title, part, person, heat or lot", "/"
)
BOARD_QUIT = _pressed("q", "quit", "Leave", "board.quit", "Leave the program", "q")
FIND_ENTER = _pressed(
    "enter", "found", "To the list", "find.enter", "From the find line to the list", "Enter"
)
FIND_ESCAPE = _pressed(
    "escape", "clear", "Clear", "find.clear", "Find nothing any more: all jobs again", "Esc"
)

FIND_HELP = _pressed("f1", "help_while_finding", "Help", "find.help", "The help, while finding")

BOARD_REGISTERS = _pressed(
    "r",
    "registers",
    "Registers",
    "board.registers",
    "The registers: people, instruments, material, fillers, nonconformances, settings",
    "r",
)
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

JOB_BENCH = _pressed("b", "bench", "Bench", "job.bench", "Bench mode on the step that is to be done", "b")
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

STEP_BENCH = _pressed(
    "b", "bench", "Bench", "step.bench", "Bench mode: one thing after the other, digits and Enter", "b"
)
STEP_CHARTS = _pressed(
    "g", "charts", "Charts", "step.charts", "The recorded charts of the step; attach another", "g"
)
STEP_POINTS = _pressed("h", "points", "Holds", "step.points", "The hold and witness points of the step", "h")
STEP_NONCONFORMANCES = _pressed(
    "n", "nonconformances", "NCR", "step.nonconformances", "The nonconformances of the step", "n"
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
REGISTERS_OPEN = _pressed(
    "enter", "open", "Open", "registers.open", "In the list of registers: that register", "Enter"
)
REGISTERS_WHERE = _pressed(
    "w",
    "where",
    "Where did a heat go",
    "registers.where_any",
    "Where did a heat or a batch go, received as a lot or not",
    "w",
)
WHERE_OPEN = _pressed(
    "enter", "open", "Open job", "registers.open_job", "Where a heat went: open the job", "Enter"
)
SHOP_NONCONFORMANCE_OPEN = _pressed(
    "enter",
    "open",
    "Open in its job",
    "registers.open_nonconformance",
    "A nonconformance: open it in its job",
    "Enter",
)
REGISTER_READ = _pressed(
    "enter", "open", "Read", "registers.read", "Read the whole entry: who entered what and when", "Enter"
)


def _act(key: str, name: str, words: str, tooltip: str) -> Binding:
    return _pressed(key, f"act('{name}')", words, f"registers.{name}", tooltip, key)


INSTRUMENT_KEYS = (
    _act("n", "new_instrument", "New", "Register an instrument"),
    _act("c", "calibrated", "Calibrated", "Enter a calibration of the instrument"),
    _act(
        "f",
        "found_out",
        "Found wrong",
        "Enter that it was found out of tolerance; shows first what that would question",
    ),
    _act("x", "withdraw", "Withdraw", "Take the instrument out of use for good"),
)
MATERIAL_KEYS = (
    _act("n", "new_material", "New", "Receive a lot of material with its certificate"),
    _act("w", "where", "Where did it go", "Where did this heat go: the jobs, steps, joints and runs"),
    _act("t", "remnant", "Remnant", "Enter a remnant that was cut from the lot"),
)
FILLER_KEYS = (
    _act("n", "new_filler", "New", "Receive a lot of filler with its certificate"),
    _act("w", "where_filler", "Where did it go", "Where did this batch go: the jobs, steps, joints and runs"),
    _act("o", "opened", "Opened", "A package of electrodes was opened; how long they may be out"),
    _act("b", "rebaked", "Rebaked", "Electrodes were rebaked"),
)
PEOPLE_KEYS = (
    _act("n", "new_person", "New", "Register a person; the first one becomes the owner"),
    _act("s", "secret", "Own secret", "Set one's own secret, the first one or another"),
    _act("t", "reset", "Set with second", "A secret for somebody who lost theirs, with a second person"),
    _act("k", "recover", "Recovery code", "A new secret by the recovery code that was written down"),
    _act("w", "process", "Shown to weld", "Enter that they were shown to weld by a process"),
    _act("o", "roles", "Roles", "Give the person other roles"),
    _act("m", "rename", "Rename", "Give the person another name"),
    _act("d", "disable", "Disable", "Let the person sign nothing from now on"),
    _act("e", "enable", "Enable", "Let a disabled person sign again"),
)
SETTING_KEYS = (_act("c", "change", "Change", "Change the setting from now on"),)
RECOVERY_CODE_KEYS = (
    _pressed(
        "f10",
        "written",
        "It is written down",
        "registers.written",
        "The recovery code is written down",
        "F10",
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

BENCH_KEYS = (
    _pressed(
        "enter",
        "take",
        "Take",
        "bench.take",
        "Take what was typed; on an empty line: what else can be done",
        "Enter",
    ),
    _moving("up", "go(-1)", "bench.before", "To what is asked before"),
    _moving("down", "go(1)", "bench.after", "To what is asked next"),
    _queued("pageup", "page('up')", "Page up", "bench.page_up", "Page up in the readings"),
    _queued("pagedown", "page('down')", "Page down", "bench.page_down", "Page down in the readings"),
    _pressed("f1", "help", "Help", "bench.help", "The keys and the words of the app", "F1"),
    _pressed(
        "escape",
        "leave",
        "Back",
        "bench.leave",
        "One question back; from the first one out of bench mode",
        "Esc",
    ),
)

REVIEW_KEYS = (
    _pressed(
        "f10", "release", "Sign and issue", "review.release", "Release the job as it is shown, signed", "F10"
    ),
    _moving("ctrl+s", "release", "review.release_too", "Release the job as it is shown, signed"),
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

COMMIT_S = _moving("ctrl+s", "commit", "form.commit_too", "Record or sign what the form says")
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
LISTED_TAKE = _pressed("enter", "take", "Do it", "listed.take", "Do what the cursor is on", "Enter")
LISTED_DIGITS = tuple(
    _moving(str(digit), f"pick({digit})", f"listed.pick_{digit}", "Do the one of that number")
    for digit in range(1, 10)
)
LISTED_BACK = _pressed("escape", "back", "Back", "listed.back", "Back, and do nothing", "Esc")
LISTED_MOVE = (
    _moving("up", "move('up')", "listed.up", "Move up"),
    _moving("down", "move('down')", "listed.down", "Move down"),
    _moving("home", "move('home')", "listed.first", "To the first line"),
    _moving("end", "move('end')", "listed.last", "To the last line"),
    _moving("pageup", "page('up')", "listed.page_up", "Page up"),
    _moving("pagedown", "page('down')", "listed.page_down", "Page down"),
)
LISTED_ERASE = _queued("backspace", "erase", "Erase", "listed.erase", "Take the last letter back")
CHOICE_UP = _moving("up", "step(-1)", "choice.up", "In a list of choices: the one above")
CHOICE_DOWN = _moving("down", "step(1)", "choice.down", "In a list of choices: the one below")


def commit(words: str) -> Binding:
    """F10 with what it does on the form at hand."""
    return _pressed("f10", "commit", words, "form.commit", "Record or sign what the form says", "F10")


LIST_KEYS = (*MOVE, UNFINISHED, HELP, HELP_ANYWHERE, BACK, ESCAPE)
FIND_KEYS = (FIND_ENTER, FIND_ESCAPE, FIND_HELP)
BOARD_KEYS = (*FIND_KEYS, BOARD_OPEN, BOARD_FIND, BOARD_VIEW, BOARD_NEW, BOARD_REGISTERS, BOARD_QUIT)
JOB_KEYS = (JOB_OPEN, JOB_BENCH, JOB_ROUTES, JOB_CLOSE)
STEP_KEYS = (
    STEP_RECORD,
    STEP_BENCH,
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
LAST_SHOWN = ("back", "leave", "quit", "help", "actions")
"""Actions whose keys stand at the end of the line of keys and are never left out of it."""
FORM_KEYS = (commit("Record"), COMMIT_S, FORM_ESCAPE, NEXT, PREVIOUS, ENTER_NEXT, *FORM_PAGE, HELP_ON_FORM)
CHOICE_KEYS = (*PICK, CHOICE_UP, CHOICE_DOWN)
LISTED_KEYS = (LISTED_TAKE, *LISTED_DIGITS, *LISTED_MOVE, LISTED_ERASE, LISTED_BACK)

GROUPS: Sequence[Group] = (
    Group("On lists", LIST_KEYS),
    Group("The board of jobs", BOARD_KEYS),
    Group(
        "The registers",
        (REGISTERS_OPEN, REGISTERS_WHERE, REGISTER_READ, WHERE_OPEN, SHOP_NONCONFORMANCE_OPEN),
    ),
    Group("Instruments", INSTRUMENT_KEYS),
    Group("Material", MATERIAL_KEYS),
    Group("Fillers", FILLER_KEYS),
    Group("People", (*PEOPLE_KEYS, *RECOVERY_CODE_KEYS)),
    Group("Settings", SETTING_KEYS),
    Group("A job", JOB_KEYS),
    Group("A step", STEP_KEYS),
    Group("Bench mode", BENCH_KEYS),
    Group("Hold and witness points", POINT_KEYS),
    Group("Nonconformances", NONCONFORMANCE_KEYS),
    Group("Recorded charts", (*CHART_LIST_KEYS, *CHART_KEYS)),
    Group("Routes", (ROUTES_OPEN, *ROUTES_PARTS)),
    Group("The review of a new job", REVIEW_KEYS),
    Group("Unfinished entries", UNFINISHED_KEYS),
    Group("Forms", (*FORM_KEYS, *CHOICE_KEYS)),
    Group("The list of everything", LISTED_KEYS),
    Group("Everywhere", (ACTIONS, QUIT, COPY, STAY, THEME)),
)
KEYS: Mapping[str, Binding] = {str(binding.id): binding for group in GROUPS for binding in group.keys}
"""Every key by its id, as it is without a key file."""

_NAMES = {
    "escape": "Esc",
    "enter": "Enter",
    "tab": "Tab",
    "shift+tab": "Shift+Tab",
    "space": "Space",
    "backspace": "Backspace",
    "insert": "Insert",
    "delete": "Delete",
    "up": "Up",
    "down": "Down",
    "left": "Left",
    "right": "Right",
    "home": "Home",
    "end": "End",
    "pageup": "Page Up",
    "pagedown": "Page Down",
    **{f"f{number}": f"F{number}" for number in range(1, 13)},
    # h, i, j and m with Ctrl are what a terminal sends for Backspace, Tab and Enter.
    **{f"ctrl+{letter}": f"Ctrl+{letter.upper()}" for letter in "abcdefgklnopqrstuvwxyz"},
}
_SIGNS = {_character_to_key(sign): sign for sign in punctuation}
_BY_NAME = {name.lower().replace(" ", ""): key for key, name in _NAMES.items()}


def key_name(key: str) -> str:
    """A key as it is printed on the keyboard: "Enter", "F10", "r"."""
    return _NAMES.get(key) or _SIGNS.get(key) or key


def is_text(key: str) -> bool:
    """Whether the key puts a character into a field."""
    return len(key) == 1 or key in _SIGNS or key == "space"


def key_meant(name: str) -> str | None:
    """The key of a name as ``key_name`` gives it, large or small, or of one letter, digit or ASCII sign; else None."""
    if len(name) == 1:
        return _character_to_key(name) if name.isalnum() or name in punctuation else None
    return _BY_NAME.get(name.lower().replace(" ", ""))


def listed(group: Group, keymap: Mapping[str, str]) -> list[tuple[str, str]]:
    """The keys of a group with what they do; keys that do the same stand together ("1 to 9", "Enter or r").

    ``keymap``: keys of one's own by id.
    """
    names: dict[str, list[str]] = {}
    for binding in group.keys:
        names.setdefault(binding.tooltip, []).append(key_name(keymap.get(str(binding.id), binding.key)))
    return [(joined(keys), words) for words, keys in names.items()]


def joined(names: Sequence[str]) -> str:
    """Names of keys that do the same: "Enter or r", "1 to 9"."""
    if len(names) > 2 and list(names) == [str(int(names[0]) + at) for at in range(len(names))]:
        return f"{names[0]} to {names[-1]}"
    return " or ".join(names)
