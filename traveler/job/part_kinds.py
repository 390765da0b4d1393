"""The kinds of event that are about a part after its job, by themselves: the register passes them over unread."""

PART_REGISTERED = "part registered"
INTERVAL_SET = "part interval set"
PART_INSTALLED = "part installed"
PART_REMOVED = "part removed"
PART_USED = "part used"
PART_CRASHED = "part crashed"
PART_INSPECTED = "part inspected"
PART_WITHDRAWN = "part withdrawn"
PART_CORRECTED = "part entry superseded"

PART_KINDS = frozenset(
    (
        PART_REGISTERED,
        INTERVAL_SET,
        PART_INSTALLED,
        PART_REMOVED,
        PART_USED,
        PART_CRASHED,
        PART_INSPECTED,
        PART_WITHDRAWN,
        PART_CORRECTED,
    )
)
