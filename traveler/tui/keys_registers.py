"""Keys of the registers."""

from textual.binding import Binding

from traveler.tui.key_kinds import pressed

REGISTERS_OPEN = pressed(
    "enter", "open", "Open", "registers.open", "In the list of registers: that register", "Enter"
)
REGISTERS_WHERE = pressed(
    "w",
    "where",
    "Where did a heat go",
    "registers.where_any",
    "Where did a heat or a batch go, received as a lot or not",
    "w",
)
WHERE_OPEN = pressed(
    "enter", "open", "Open job", "registers.open_job", "Where a heat went: open the job", "Enter"
)
SHOP_NONCONFORMANCE_OPEN = pressed(
    "enter",
    "open",
    "Open in its job",
    "registers.open_nonconformance",
    "A nonconformance: open it in its job",
    "Enter",
)
REGISTER_READ = pressed(
    "enter", "open", "Read", "registers.read", "Read the whole entry: who entered what and when", "Enter"
)


def _act(key: str, name: str, words: str, tooltip: str) -> Binding:
    shown = {"slash": "/"}.get(key, key)
    return pressed(key, f"act('{name}')", words, f"registers.{name}", tooltip, shown)


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
    _act("t", "reset", "Lost secret", "A secret for somebody who lost theirs, with a second person"),
    _act("p", "recover", "Recovery code", "A new secret by the recovery code that was written down"),
    _act("w", "process", "Shown to weld", "Enter that they were shown to weld by a process"),
    _act("o", "roles", "Roles", "Give the person other roles"),
    _act("m", "rename", "Rename", "Give the person another name"),
    _act("d", "disable", "Disable", "Let the person sign nothing from now on"),
    _act("e", "enable", "Enable", "Let a disabled person sign again"),
)
PART_KEYS = (
    _act("n", "new_part", "New", "Give the part of a closed job its serial"),
    _act("i", "install", "Install", "Enter that the part is on a car"),
    _act("t", "take_off", "Take off", "Enter that the part was taken off its car"),
    _act("d", "driven", "Driven", "Enter what the part was used for: events, hours, distance"),
    _act("c", "crash", "Crash", "Enter that the part was in a crash: it is to be inspected now"),
    _act("s", "inspect", "Inspect", "Enter an inspection: fit or not, what was found, what was measured"),
    _act("e", "every", "Interval", "Set when the part is inspected again, whichever comes first"),
    _act("w", "wrong_entry", "Wrong entry", "Say that an entry of its history is wrong and counts no more"),
    _act("x", "withdraw_part", "Withdraw", "Take the part out of use for good"),
    _act("slash", "find_part", "Find", "Find parts by serial, design, car, job or state"),
    _act("h", "design", "Design", "What befell every part of the design, whichever serial"),
    _act("o", "part_job", "Its job", "Open the job that the part was made in"),
)
SETTING_KEYS = (_act("c", "change", "Change", "Change the setting from now on"),)
RECOVERY_CODE_KEYS = (
    pressed(
        "f10",
        "written",
        "It is written down",
        "registers.written",
        "The recovery code is written down",
        "F10",
    ),
)
