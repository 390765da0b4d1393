"""What is said of entries that were typed and not recorded."""

from collections.abc import Sequence
from datetime import datetime

from traveler.report.words import visible
from traveler.tui.drafts import Draft

LONGEST = 160


def about_words(draft: Draft) -> str:
    """ "H-014 step 30: Record preheat temperature"."""
    step = f" step {draft.step}" if draft.step else ""
    return f"{visible(draft.job)}{step}: {visible(draft.words)}" if draft.job else visible(draft.words)


def typed_words(draft: Draft) -> str:
    """What stands in the fields, one after the other."""
    text = visible("; ".join(draft.typed)) or "nothing but what is not kept on the disk"
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 3]}..."


def waiting_words(drafts: Sequence[Draft], now: datetime, key: str) -> list[str]:
    """ "Unfinished entry of 14:02 for step 30: u shows it", of the one typed last; nothing where there is none.

    ``key`` shows them.
    """
    if not drafts:
        return []
    newest = drafts[0]
    step = f" for step {newest.step}" if newest.step else ""
    more = f", and {len(drafts) - 1} more" if len(drafts) > 1 else ""
    return [f"Unfinished entry of {newest.clock_time(now)}{step}{more}: {key} shows it"]
