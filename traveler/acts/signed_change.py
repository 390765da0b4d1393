"""A change of a job by which somebody answers for something: a release, a disposition, that a limit does not apply."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime

from traveler.acts.change import Changed, change, load_job
from traveler.acts.clock import Clock
from traveler.acts.entry import Entry, Refusal
from traveler.acts.performers import Inspection, own_inspection, work_in
from traveler.acts.readings import find_step
from traveler.acts.register import register_of
from traveler.acts.sign import STALE, is_stale
from traveler.acts.signing import Meant, signing
from traveler.job.content import content_digest
from traveler.job.person import Person
from traveler.job.state import JobState
from traveler.record.secrets import Secret
from traveler.record.shop import Shop, Writing

Decide = Callable[[Person, JobState, datetime], Entry | Refusal]
Inspects = Callable[[JobState], Inspection | None]


@dataclass(frozen=True, slots=True)
class Signing:
    """Who signs on which job, with what secret; ``content``: digest of the step as it was shown to them."""

    shop: Shop
    clock: Clock
    person: Person
    number: str
    content: str | None = None
    secret: Secret | None = None

    def change(
        self,
        what: str,
        step: Callable[[JobState], int],
        decide: Decide,
        inspects: Inspects = lambda _: None,
    ) -> Changed:
        """Append what ``decide`` says, once the secret is accepted where people have some.

        ``what`` is signed, in a word or two, at a step; refused as stale where the step is no longer as it was shown.
        ``decide`` is handed the person as the register knows them. ``inspects``: whose work it decides about, None
        where it decides about nobody's; where somebody who works alone decides about their own, the event says so.
        """
        before = load_job(self.shop, self.number)
        signer = signing(
            self.shop, self.clock, self.person, self.secret, Meant(what, self.number, step(before))
        )
        if isinstance(signer, Refusal):
            return Changed(before, before, signer.reasons)

        def decide_on_what_was_shown(state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
            if is_stale(self.content, content_digest(state, find_step(state, step(state)))):
                return Refusal((STALE,))
            decided = decide(signer.person, state, now)
            asked = inspects(state)
            alone = own_inspection(register_of(writing), state, signer.person, asked) if asked else ""
            if isinstance(decided, Refusal) or alone:
                reasons = decided.reasons if isinstance(decided, Refusal) else ()
                return Refusal((*reasons, *([alone] if alone else [])))
            own = work_in(state, asked.steps, signer.person) if asked else ""
            return replace(decided, act={**decided.act, **({"own_work": own} if own else {}), **signer.kept})

        decides = signer.decides(decide_on_what_was_shown)
        return change(self.shop, self.clock, signer.person, self.number, decides)
