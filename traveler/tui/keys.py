"""Every key of the app, once: the screens bind these, the help screen and docs/keys.md list them.

The keys that open, close or record are priority keys, and so are those that move the focus or pick an option: keys
that arrive in one burst are taken in the order in which they were pressed, and none lands in a form that an earlier
one closes. A form lets its field take what was typed before it records or closes.
"""

from collections.abc import Mapping, Sequence

from textual.binding import Binding

from traveler.tui.key_kinds import Group, moving, pressed, queued
from traveler.tui.key_names import joined, key_name
from traveler.tui.keys_again import JOB_AGAIN, JOB_COMPARE, JOB_PAPERS, REVIEW_DIFFERENCES
from traveler.tui.keys_away import JOB_PIECES, OUTSIDE_KEYS, PIECES_KEYS, STEP_OUTSIDE
from traveler.tui.keys_registers import (
    FILLER_KEYS,
    INSTRUMENT_KEYS,
    MATERIAL_KEYS,
    PART_KEYS,
    PEOPLE_KEYS,
    RECOVERY_CODE_KEYS,
    REGISTER_READ,
    REGISTERS_OPEN,
    REGISTERS_WHERE,
    SETTING_KEYS,
    SHOP_NONCONFORMANCE_OPEN,
    WHERE_OPEN,
)

MOVE = (
    moving("up", "move('up')", "list.up", "Move up"),
    moving("down", "move('down')", "list.down", "Move down"),
    moving("home", "move('home')", "list.first", "To the first line"),
    moving("end", "move('end')", "list.last", "To the last line"),
    moving("pageup", "page('up')", "list.page_up", "Page up; on a step, page through its details"),
    moving("pagedown", "page('down')", "list.page_down", "Page down; on a step, page through its details"),
)
HELP = pressed(
    "question_mark", "help", "Help", "app.help", "What this screen is for, its keys, the words", "?"
)
HELP_ANYWHERE = queued("f1", "help", "Help", "app.help_anywhere", "The same help, on every screen")
BACK = pressed("q", "back", "Back", "list.back", "Back to the screen before", "q")
ESCAPE = pressed("escape", "back", "Back", "list.escape", "Back to the screen before")
HELP_ON_FORM = pressed(
    "f1", "help", "Help", "form.help", "What this form is for, its fields, its keys, the words", "F1"
)
ACTIONS = pressed("f2", "actions", "All", "app.actions", "Everything that can be done, to choose from", "F2")
UNFINISHED = pressed(
    "u", "unfinished", "Unfinished", "list.unfinished", "What was typed and is not recorded", "u"
)
QUIT = queued(
    "ctrl+q", "quit", "Leave", "app.quit", "Leave the program; asks where something typed is not recorded"
)
COPY = queued(
    "ctrl+c", "help_quit", "Copy", "app.copy", "Copy what is marked in a field; elsewhere says how to leave"
)
STAY = queued(
    "ctrl+z", "help_quit", "Stay", "app.stay", "Nothing is sent to the background; says how to leave"
)

UNFINISHED_KEYS = (
    pressed(
        "enter", "take_up", "Take up", "unfinished.take_up", "Open the form with what was typed", "Enter"
    ),
    pressed("d", "discard", "Throw away", "unfinished.discard", "Throw away what was typed; asks once", "d"),
)

THEME = moving(
    "f9", "theme", "app.theme", "The next theme: dark, light, high contrast, the terminal's own colours"
)

BOARD_OPEN = pressed("enter", "open", "Open job", "board.open", "Open the job", "Enter")
BOARD_VIEW = pressed(
    "v", "view", "View", "board.view", "The next view: all open, blocked, to sign, due, ended", "v"
)
BOARD_FIND = pressed(
    "slash", "find", "Find", "board.find", "Find jobs by number, title, part, person, heat or lot", "/"
)
BOARD_QUIT = pressed("q", "quit", "Leave", "board.quit", "Leave the program", "q")
FIND_ENTER = pressed("enter", "found", "To the list", "find.enter", "From the find line to the list", "Enter")
FIND_ESCAPE = pressed(
    "escape", "clear", "Clear", "find.clear", "Find nothing any more: all jobs again", "Esc"
)

FIND_HELP = pressed("f1", "help_while_finding", "Help", "find.help", "The same help, on every screen")

BOARD_REGISTERS = pressed(
    "r",
    "registers",
    "Registers",
    "board.registers",
    "The registers: people, parts, instruments, material, fillers, nonconformances, settings",
    "r",
)
BOARD_NEW = pressed(
    "n",
    "new",
    "New job",
    "board.new",
    "Put a new job together, page by page; goes on with one that was begun",
    "n",
)

JOB_OPEN = pressed("enter", "open", "Open step", "job.open", "Open the step", "Enter")
JOB_CLOSE = pressed(
    "x", "close_job", "Close job", "job.close", "Close the job once every step is accepted", "x"
)

JOB_BENCH = pressed("b", "bench", "Bench", "job.bench", "Bench mode on the step that is to be done", "b")
JOB_ROUTES = pressed(
    "o", "routes", "Routes", "job.routes", "The routes of a joint: preheat, or heat afterwards", "o"
)

STEP_RECORD = pressed(
    "enter", "record", "Record", "step.enter", "Record a reading of the requirement", "Enter"
)
STEP_R = pressed("r", "record", "Record", "step.record", "Record a reading of the requirement")
STEP_PERFORM = pressed("p", "perform", "Performed", "step.perform", "Sign the step as performed", "p")
STEP_ACCEPT = pressed(
    "a", "accept", "Accept", "step.accept", "Sign the step as accepted, by another person", "a"
)
STEP_WORKING = pressed("w", "working", "Working", "step.working", "The working behind the limit", "w")
STEP_CORRECT = pressed(
    "c", "correct", "Correct", "step.correct", "Supersede a wrong entry, with its reason", "c"
)
STEP_RETRY = pressed(
    "t", "retry", "Try again", "step.retry", "Heat again after a cold preheat, with the reason", "t"
)
STEP_ROUTES = pressed(
    "o", "routes", "Routes", "step.routes", "The routes of the joint: preheat, or heat afterwards", "o"
)

STEP_BENCH = pressed(
    "b", "bench", "Bench", "step.bench", "Bench mode: one thing after the other, digits and Enter", "b"
)
STEP_CHARTS = pressed(
    "g", "charts", "Charts", "step.charts", "The recorded charts of the step; attach another", "g"
)
STEP_POINTS = pressed("h", "points", "Holds", "step.points", "The hold and witness points of the step", "h")
STEP_SEND_OUT = pressed(
    "s", "send_out", "Send out", "step.send_out", "Send the step to a vendor that the sheet does not name"
)
STEP_NONCONFORMANCES = pressed(
    "n", "nonconformances", "NCR", "step.nonconformances", "The nonconformances of the step", "n"
)
STEP_NOT_APPLICABLE = pressed(
    "d",
    "not_applicable",
    "Not applicable",
    "step.not_applicable",
    "Say that a requirement does not apply",
    "d",
)
STEP_ANSWER = pressed(
    "i", "answer", "In question", "step.answer", "Answer for readings whose instrument was found wrong", "i"
)
POINT_KEYS = tuple(
    pressed(key, f"sign('{name}')", words, f"points.{name}", tooltip, key)
    for key, name, words, tooltip in (
        ("r", "release", "Release", "Release a hold, on what the step holds now"),
        ("w", "waive", "Waive", "Give a hold or witness point up for good"),
        ("n", "notify", "Notify", "Note that a party was told that it can witness"),
        ("a", "attend", "Attend", "Sign as the party that witnessed the step"),
    )
)
NONCONFORMANCE_KEYS = (
    pressed("enter", "open", "Read", "nonconformances.open", "Read all that was done about it", "Enter"),
    *(
        pressed(key, f"sign('{name}')", words, f"nonconformances.{name}", tooltip, key)
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
    pressed("enter", "open", "Open chart", "charts.open", "In the list of charts: that chart", "Enter"),
    pressed("n", "attach", "Attach", "charts.attach", "Attach the file that a logger wrote", "n"),
)
CHART_KEYS = (
    pressed("f", "fault(1)", "Failing place", "chart.next", "To the next place that fails", "f"),
    pressed("b", "fault(-1)", "Before", "chart.previous", "To the failing place before", "b"),
    pressed("0", "whole", "Whole chart", "chart.whole", "The whole chart again", "0"),
)

ROUTES_OPEN = pressed(
    "enter", "open", "Open joint", "routes.open", "In the list of joints: that joint", "Enter"
)
ROUTES_PARTS = tuple(
    pressed(key, f"part('{part}')", words, f"routes.{part}", tooltip, key)
    for key, part, words, tooltip in (
        ("1", "combinations", "Combinations", "To the combinations: which satisfy, which do not"),
        ("2", "as-welded", "As welded", "To hardness as welded against preheat"),
        ("3", "relieved", "After relief", "To hardness after relief against its temperature"),
        ("4", "grounds", "Grounds", "To the limits, the choices and what the numbers rest on"),
    )
)

BENCH_KEYS = (
    pressed(
        "enter",
        "take",
        "Take",
        "bench.take",
        "Take what was typed; on an empty line: what else can be done",
        "Enter",
    ),
    moving("up", "go(-1)", "bench.before", "To what is asked before"),
    moving("down", "go(1)", "bench.after", "To what is asked next"),
    queued("pageup", "page('up')", "Page up", "bench.page_up", "Page up in the readings"),
    queued("pagedown", "page('down')", "Page down", "bench.page_down", "Page down in the readings"),
    pressed("f1", "help", "Help", "bench.help", "The keys and the words of the app", "F1"),
    pressed(
        "escape",
        "leave",
        "Back",
        "bench.leave",
        "One question back; from the first one out of bench mode",
        "Esc",
    ),
)

REVIEW_KEYS = (
    pressed(
        "f10", "release", "Sign and issue", "review.release", "Release the job as it is shown, signed", "F10"
    ),
    moving("ctrl+s", "release", "review.release_too", "Release the job as it is shown, signed"),
    REVIEW_DIFFERENCES,
    pressed("s", "save", "Save sheet", "review.save", "Save the job sheet as a new file", "s"),
    pressed(
        "enter",
        "change",
        "Change",
        "review.change",
        "Change that part of the sheet, or what is wrong with it",
        "Enter",
    ),
)

COMMIT_S = moving("ctrl+s", "commit", "form.commit_too", "Record or sign what the form says")
FORM_ESCAPE = pressed(
    "escape", "leave", "Back", "form.leave", "Back; what was typed is kept for the next time", "Esc"
)
NEXT = moving("tab", "app.focus_next", "form.next", "To the next field")
PREVIOUS = moving("shift+tab", "app.focus_previous", "form.previous", "To the field before")
ENTER_NEXT = moving("enter", "next_field", "form.enter", "To the next field")
PICK = tuple(
    moving(str(digit), f"pick({digit})", f"choice.pick_{digit}", "In a list of choices: take that one")
    for digit in range(1, 10)
)
LISTED_TAKE = pressed("enter", "take", "Do it", "listed.take", "Do what the cursor is on", "Enter")
LISTED_DIGITS = tuple(
    moving(str(digit), f"pick({digit})", f"listed.pick_{digit}", "Do the one of that number")
    for digit in range(1, 10)
)
LISTED_BACK = pressed("escape", "back", "Back", "listed.back", "Back, and do nothing", "Esc")
LISTED_MOVE = (
    moving("up", "move('up')", "listed.up", "Move up"),
    moving("down", "move('down')", "listed.down", "Move down"),
    moving("home", "move('home')", "listed.first", "To the first line"),
    moving("end", "move('end')", "listed.last", "To the last line"),
    moving("pageup", "page('up')", "listed.page_up", "Page up"),
    moving("pagedown", "page('down')", "listed.page_down", "Page down"),
)
LISTED_ERASE = queued("backspace", "erase", "Erase", "listed.erase", "Take the last letter back")
CHOICE_UP = moving("up", "step(-1)", "choice.up", "In a list of choices: the one above")
CHOICE_DOWN = moving("down", "step(1)", "choice.down", "In a list of choices: the one below")


def commit(words: str) -> Binding:
    """F10 with what it does on the form at hand."""
    return pressed("f10", "commit", words, "form.commit", "Record or sign what the form says", "F10")


LIST_KEYS = (*MOVE, UNFINISHED, HELP, HELP_ANYWHERE, BACK, ESCAPE)

BOARD_KEYS = (
    FIND_ENTER,
    FIND_ESCAPE,
    BOARD_OPEN,
    BOARD_FIND,
    BOARD_VIEW,
    BOARD_NEW,
    BOARD_REGISTERS,
    BOARD_QUIT,
    FIND_HELP,
)
JOB_KEYS = (
    JOB_OPEN,
    JOB_BENCH,
    JOB_ROUTES,
    JOB_PIECES,
    JOB_AGAIN,
    JOB_COMPARE,
    JOB_PAPERS,
    JOB_CLOSE,
)
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
    STEP_OUTSIDE,
    STEP_SEND_OUT,
    STEP_R,
)
FORM_PAGE = (
    queued("pageup", "page('up')", "Page up", "form.page_up", "Page up in what the form is about"),
    queued("pagedown", "page('down')", "Page down", "form.page_down", "Page down in what the form is about"),
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
    Group("Parts", PART_KEYS),
    Group("People", (*PEOPLE_KEYS, *RECOVERY_CODE_KEYS)),
    Group("Settings", SETTING_KEYS),
    Group("A job", JOB_KEYS),
    Group("The pieces of a job", PIECES_KEYS),
    Group("A step", STEP_KEYS),
    Group("Bench mode", BENCH_KEYS),
    Group("Hold and witness points", POINT_KEYS),
    Group("Work at a vendor", OUTSIDE_KEYS),
    Group("Nonconformances", NONCONFORMANCE_KEYS),
    Group("Recorded charts", (*CHART_LIST_KEYS, *CHART_KEYS)),
    Group("Routes", (ROUTES_OPEN, *ROUTES_PARTS)),
    Group("Unfinished entries", UNFINISHED_KEYS),
    Group("The review of a new job", REVIEW_KEYS),
    Group("Forms", (*FORM_KEYS, *CHOICE_KEYS)),
    Group("The list of everything", LISTED_KEYS),
    Group("Everywhere", (ACTIONS, QUIT, COPY, STAY, THEME)),
)
KEYS: Mapping[str, Binding] = {str(binding.id): binding for group in GROUPS for binding in group.keys}
"""Every key by its id, as it is without a key file."""


def listed(group: Group, keymap: Mapping[str, str]) -> list[tuple[str, str]]:
    """The keys of a group with what they do; keys that do the same stand together ("1 to 9", "Enter or r").

    ``keymap``: keys of one's own by id.
    """
    names: dict[str, list[str]] = {}
    for binding in group.keys:
        names.setdefault(binding.tooltip, []).append(key_name(keymap.get(str(binding.id), binding.key)))
    return [(joined(keys), words) for words, keys in names.items()]
