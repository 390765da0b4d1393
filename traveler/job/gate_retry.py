"""May a preheat that was too cold be tried again?"""

from collections.abc import Sequence

from traveler.job.judge import reads_high, reads_low
from traveler.job.state import JobState, Key

RETRY_KINDS = ("fit", "preheat")
RETRY_QUANTITIES = ("preheat temperature", "metal temperature")


def against_retry(state: JobState, key: Key) -> Sequence[str]:
    """Only heat may be tried again, only where it was too cold, and only before a run is laid on it."""
    number, quantity, joint = key
    step = state.step(number)
    requirement = next(
        (r for r in step.requirements if (r.quantity, r.joint) == (quantity, joint)) if step else iter(()),
        None,
    )
    if step is None or requirement is None:
        return [f"step {number} has no {quantity}"]
    if step.kind not in RETRY_KINDS or quantity not in RETRY_QUANTITIES:
        return [f"only a preheat that was too cold may be tried again, not the {quantity} of step {number}"]
    opened = max((retry.moment.seq for retry in state.retries if retry.key == key), default=0)
    laid = [of for of in ([joint] if joint else step.joints) if state.welded_since(of, opened)]
    if laid:
        return [f"a run of weld is recorded on {laid[0]}: from then on its preheat is what it was"]
    standing = state.standing(step, requirement)
    too_hot = [reading.number for reading in standing if reads_high(requirement, reading)]
    if too_hot:
        return [f"reading {too_hot[0]} was too hot; only a preheat that was too cold may be tried again"]
    if not any(reads_low(requirement, reading) for reading in standing):
        return ["no standing reading is too cold, so there is nothing to try again"]
    return []
