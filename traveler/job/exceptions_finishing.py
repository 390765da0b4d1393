"""What was mended, bent back or interrupted: it may all comply, and a reader of the traveler wants to know it first."""

from collections.abc import Iterator

from traveler.job.finishing import ARC_STRIKES, INTERRUPTION, NOTHING, STRAIGHTENING
from traveler.job.state import JobState

TOLD = (INTERRUPTION, ARC_STRIKES, STRAIGHTENING)
"""Quantities of which anything but "none" is told."""


def finishing_exceptions(state: JobState) -> Iterator[str]:
    """Joints that are repairs, then what was straightened, struck beside the joint or interrupted."""
    for row in state.plan.joints:
        joint = dict(row)
        if "repair" in joint:
            yield f"joint {joint['id']} is a repair: {joint['repair']}"
    for reading in state.readings:
        step, quantity, of_joint = reading.key
        if quantity in TOLD and reading.value != NOTHING and not reading.superseded:
            of = f" of {of_joint}" if of_joint else ""
            yield f"step {step}: {quantity}{of}: {reading.value} (reading {reading.number})"
