"""The kinds of failure that a person is told about in a sentence."""


class TravelerError(Exception):
    """Something could not be done. The message is one clear sentence; commands end with status 2."""


class NotAllowed(TravelerError):
    """It was asked for well and is refused; commands end with status 1."""


class FileHeld(TravelerError):
    """Another program holds the shop's file; nothing was done, and the same may be tried again."""


class BadInput(TravelerError):
    """What was typed or handed in cannot be used; names the place, what was read and what was expected."""


class BadSheet(BadInput):
    """A job sheet with faults, one sentence each, all of them at once."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        super().__init__("\n".join(faults))
        self.faults = faults
