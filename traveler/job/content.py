"""What a signature on a step covers, as one short digest."""

import hashlib
import json
from base64 import b32encode

from traveler.job.plan_json import step_to_act
from traveler.job.requirement import StepPlan
from traveler.job.state import JobState, Reading


def content_digest(state: JobState, step: StepPlan) -> str:
    """Digest of everything that an acceptance stands for: limits with their basis, every reading, the attempts.

    SHA-256 over canonical JSON, its first 80 bits in base32. A reading added, superseded or tried again changes it,
    and so does a revision that changes the step; a revision that leaves the step alone does not.
    """
    content: dict[str, object] = {
        "step": step_to_act(step),
        "readings": [_reading(r) for r in state.readings if r.key[0] == step.number],
        "attempts": [
            [*retry.key[1:], retry.attempt, retry.because]
            for retry in state.retries
            if retry.key[0] == step.number
        ],
        "performed": [[s.by.name, s.moment.happened_at, s.runs] for s in state.performed_of(step.number)],
        "files": [attachment.sha256 for attachment in state.attachments if attachment.step == step.number],
    }
    # Only where there are some: what was accepted before charts were judged keeps its digest.
    if charts := state.charts_of(step.number):
        content["charts"] = [
            [c.number, c.sha256, c.limits, c.act["criteria"], c.superseded, c.superseded_by, c.reason]
            for c in charts
        ]
    text = json.dumps(content, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return b32encode(hashlib.sha256(text.encode()).digest()[:10]).decode()


def _reading(reading: Reading) -> list[object]:
    return [
        reading.number, *reading.key, reading.value, reading.unit, reading.attempt, reading.run, reading.place,
        reading.instrument, reading.by.name, reading.moment.happened_at, reading.superseded,
        reading.superseded_by, reading.reason,
    ]  # fmt: skip
