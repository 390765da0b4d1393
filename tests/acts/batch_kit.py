"""A batch of invented tabs, jobs that are split off from it, and assemblies that its pieces go into."""

from dataclasses import dataclass
from typing import Any

from acts_kit import ADA, CLEO, NUMBER, ROUTE, Bench, sheet

from traveler.acts import nonconformance as ncr
from traveler.acts import pieces
from traveler.acts.change import Outcome, load_job
from traveler.acts.issue import cancel, close, issue
from traveler.acts.signed_change import Signing
from traveler.job.balance import Balance, balance
from traveler.job.gate import blockers
from traveler.job.state import JobState, Person

SERIALS = ("S1", "S2", "S3", "S4", "S5")
ASSEMBLY_ROUTE = (*ROUTE, (50, "assemble"))


def batch_sheet(quantity: int = 5, serials: tuple[str, ...] = (), number: str = NUMBER, **more: Any) -> bytes:
    """The tab's sheet for several pieces."""
    text = sheet(**more).decode().replace(f'number = "{NUMBER}"', f'number = "{number}"')
    keys = f"quantity = {quantity}\n" + (f"serials = {list(serials)}\n".replace("'", '"') if serials else "")
    return text.replace("[job]\n", f"[job]\n{keys}", 1).encode()


@dataclass
class Batch:
    """A shop with some jobs, and what may become of their pieces with most arguments filled in."""

    bench: Bench

    def signing(self, job: str = NUMBER, by: Person = ADA) -> Signing:
        return Signing(self.bench.shop, self.bench.clock, by, job)

    def issue(self, number: str, quantity: int = 1, serials: tuple[str, ...] = (), **more: Any) -> Bench:
        raw = batch_sheet(quantity, serials, number, **more)
        assert issue(self.bench.shop, self.bench.clock, ADA, raw).recorded
        return self.at(number)

    def at(self, number: str) -> Bench:
        return Bench(self.bench.shop, self.bench.clock, number)

    def split(self, new: str, count: int, *serials: str, job: str = NUMBER) -> Outcome:
        return pieces.split(self.signing(job), new, count, serials, "these go on")

    def scrap(self, count: int, *serials: str, job: str = NUMBER) -> Outcome:
        return pieces.take_out_pieces(self.signing(job), "scrapped", count, serials, "bent in the vice")

    def lose(self, count: int, *serials: str, job: str = NUMBER) -> Outcome:
        return pieces.take_out_pieces(self.signing(job), "lost", count, serials, "not found at the count")

    def join(
        self, assembly: str, component: str, count: int = 1, *serials: str, step: int | None = 50
    ) -> Outcome:
        return pieces.join(self.signing(assembly), component, count, serials, step)

    def take_out(self, assembly: str, component: str) -> Outcome:
        return pieces.take_out_component(self.signing(assembly), component, "the wrong part")

    def close(self, job: str = NUMBER, count: int | None = None) -> Outcome:
        return close(self.bench.shop, self.bench.clock, ADA, job, pieces=count)

    def cancel(self, job: str = NUMBER) -> Outcome:
        return cancel(self.bench.shop, self.bench.clock, ADA, job, "not wanted any more")

    def closed(self, job: str, count: int | None = None) -> None:
        """Take a job through everything and close it."""
        self.at(job).through_everything()
        assert self.close(job, count).recorded

    def open_ncr(self, job: str = NUMBER, step: int = 20, quantity: str | None = None) -> Outcome:
        return ncr.open_nonconformance(self.signing(job), step, "a lap at the toe", quantity)

    def void_ncr(self, job: str = NUMBER, number: int = 1) -> Outcome:
        return ncr.void_nonconformance(self.signing(job, CLEO), number, "it was a shadow")

    def conceded(self, job: str = NUMBER, number: int = 1) -> None:
        """Use as is, from the proposal to the closing."""
        assert ncr.propose(
            self.signing(job), number, "use as is", "well below the strength asked for"
        ).recorded
        assert ncr.decide_disposition(self.signing(job, CLEO), number, True).recorded
        assert ncr.close_nonconformance(self.signing(job, CLEO), number).recorded

    def state(self, job: str = NUMBER) -> JobState:
        return load_job(self.bench.shop, job)

    def balance(self, job: str = NUMBER) -> Balance:
        return balance(self.state(job))

    def blocked(self, job: str, step: int) -> tuple[str, ...]:
        state = self.state(job)
        found = state.step(step)
        assert found is not None
        return blockers(state, found, self.bench.clock.now())
