"""The app left alone with a field in focus: what it sends, how often it wakes, what it takes of a core."""

import time
from collections.abc import Iterator
from contextlib import ExitStack

from files import Files
from kernel import seen
from measured import Figure, Measured, rounded
from paint import BARE_FIELD, Child, quiet, read, started
from processes import TRAVELER
from sizes import Sizes

TO_A_FIELD = ("\r", "\r", "\r")
"""From the board to the job, to its step at hand, to the form that records a reading."""
SETTLED_S = 1.0
WAKES_A_SECOND = 1.0


def idle(sizes: Sizes, files: Files) -> Iterator[Measured]:
    """At the same time as a bare app with a field, which says what textual does by itself."""
    shop, _ = files.worked_job(0)
    with ExitStack() as stack:
        app = stack.enter_context(started(TRAVELER, shop))
        for key in TO_A_FIELD:
            quiet(app, SETTLED_S)
            app.send(key)
        app.expect_exact(b"F10")
        bare = stack.enter_context(started(BARE_FIELD, shop))
        _sent([app, bare], SETTLED_S)  # for so long and no longer: a cursor that blinks is never quiet
        before = [seen(child.pid) for child in (app, bare)]
        began = time.monotonic()
        sent = _sent([app, bare], sizes.idle_s)
        after = [seen(child.pid) for child in (app, bare)]
        took = time.monotonic() - began
        app.send("\x1b")  # a form that is open keeps the app from leaving at once
        quiet(app, SETTLED_S)
    busy = [(late.busy_s - early.busy_s) / took for early, late in zip(before, after, strict=True)]
    wakes = [(late.waits - early.waits) / took for early, late in zip(before, after, strict=True)]
    figure = Figure(
        "idle", f"idle app, field focused, {sizes.idle_s:g} s", "bare Textual app with a field, beside it", "itself",
        0.003, "of a core",
    )  # fmt: skip
    yield figure.of(
        [(busy[0], busy[1])],
        {"nothing sent": sent[0] == 0, "wakes at most once a second": wakes[0] <= WAKES_A_SECOND},
        {
            "bytes a second": rounded(sent[0] / took),
            "wakes a second": rounded(wakes[0]),
            "bare app, bytes a second": rounded(sent[1] / took),
            "bare app, wakes a second": rounded(wakes[1]),
        },
    )


def _sent(children: "list[Child[bytes]]", seconds: float) -> list[int]:
    """Bytes that each sends within so many seconds."""
    sent = [0 for _ in children]
    until = time.monotonic() + seconds
    while (left := until - time.monotonic()) > 0:
        for at, child in enumerate(children):
            sent[at] += len(read(child, min(left, 0.25)))
    return sent
