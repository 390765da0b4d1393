"""Keys of what goes away from the bench: work at a vendor, pieces that go on by themselves or into an assembly."""

from traveler.tui.key_kinds import pressed

JOB_PIECES = pressed(
    "p", "pieces", "Pieces", "job.pieces", "The pieces: split them, say which are gone, join components", "p"
)
STEP_OUTSIDE = pressed(
    "v",
    "outside",
    "Vendor",
    "step.outside",
    "Send the step to its vendor, receive it, review its certificate",
    "v",
)
OUTSIDE_KEYS = (
    *(
        pressed(key, f"sign('{name}')", words, f"outside.{name}", tooltip, key)
        for key, name, words, tooltip in (
            ("s", "send", "Send", "Note that it went to a vendor"),
            ("r", "receive", "Receive", "Note that it is back, as it was found"),
            ("c", "review", "Certificate", "Review the certificate that came with it"),
            ("d", "call_off", "Call off", "Say that it did not go out, or came back undone"),
        )
    ),
    pressed("f", "attach", "File", "outside.attach", "Attach a paper of the vendor to the step", "f"),
)
PIECES_KEYS = tuple(
    pressed(key, f"sign('{name}')", words, f"pieces.{name}", tooltip, key)
    for key, name, words, tooltip in (
        ("s", "split", "Split off", "Let some pieces go on as a job of their own"),
        ("g", "gone", "Gone", "Say that pieces were scrapped or lost"),
        ("i", "join", "Join in", "Join pieces of another job in this one"),
        ("t", "out", "Take out", "Take the component under the cursor out again"),
    )
)
