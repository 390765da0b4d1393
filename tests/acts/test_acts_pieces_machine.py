"""Random stories of a batch, beside a plain count of who has how many pieces and what holds whom."""

import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from acts_kit import NUMBER, issued_copy
from batch_kit import Batch, batch_sheet
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from traveler.acts.look import export
from traveler.acts.verify import verify
from traveler.job.gate_pieces import held

ROOTS = {NUMBER: 6, "B-1": 4, "C-1": 1, "C-2": 1}
MOST_JOBS = 7


@dataclass
class Counted:
    """What the test itself knows of a job."""

    here: int
    parent: str | None = None
    used: dict[str, int] = field(default_factory=dict)
    parts: list[str] = field(default_factory=list)
    opened: set[int] = field(default_factory=set)
    cancelled: bool = False


class Pieces(RuleBasedStateMachine):
    """Split, scrap, lose, join, take out, open and void, cancel: in any order, allowed or not."""

    def __init__(self) -> None:
        super().__init__()
        self.stack = ExitStack()
        folder = Path(self.stack.enter_context(tempfile.TemporaryDirectory()))
        bench = self.stack.enter_context(_opened(folder / "shop.traveler"))
        self.batch = bench
        self.jobs = {number: Counted(pieces) for number, pieces in ROOTS.items()}
        self.gone = 0

    def teardown(self) -> None:
        path = self.batch.bench.shop.path
        for number in self.jobs:
            (path.parent / "one.json").write_bytes(export(self.batch.bench.shop, number, "json"))
            assert verify(path.parent / "one.json").faults == ()
        assert verify(path).faults == ()
        self.stack.close()

    def job(self, at: int) -> str:
        return list(self.jobs)[at % len(self.jobs)]

    @rule(at=st.integers(0, 20), count=st.integers(1, 4))
    def split(self, at: int, count: int) -> None:
        job = self.job(at)
        known, new = self.jobs[job], f"S-{len(self.jobs)}"
        if len(self.jobs) == MOST_JOBS:
            return
        free = known.here - sum(known.used.values())
        may = not known.cancelled and count <= free and count < known.here
        assert self.batch.split(new, count, job=job).recorded == may
        if may:
            known.here -= count
            self.jobs[new] = Counted(count, job, parts=list(known.parts))

    @rule(at=st.integers(0, 20), count=st.integers(1, 3), lost=st.booleans())
    def take_out(self, at: int, count: int, lost: bool) -> None:
        job = self.job(at)
        known = self.jobs[job]
        may = not known.cancelled and count <= known.here
        act = self.batch.lose if lost else self.batch.scrap
        assert act(count, job=job).recorded == may
        if may:
            known.here -= count
            self.gone += count

    @rule(into=st.integers(0, 20), at=st.integers(0, 20), count=st.integers(1, 3))
    def join(self, into: int, at: int, count: int) -> None:
        assembly, part = self.job(into), self.job(at)
        known, of = self.jobs[assembly], self.jobs[part]
        may = (
            not (known.cancelled or of.cancelled)
            and part not in {*known.parts, assembly, *self.ancestors(assembly)}
            and part not in self.dependants(assembly)
            and count <= of.here - sum(of.used.values())
        )
        assert self.batch.join(assembly, part, count, step=10).recorded == may
        if may:
            known.parts.append(part)
            of.used[assembly] = count

    @rule(into=st.integers(0, 20), at=st.integers(0, 20))
    def take_out_again(self, into: int, at: int) -> None:
        assembly, part = self.job(into), self.job(at)
        if any(known.parent == assembly for known in self.jobs.values()):
            return  # what is in pieces that were split off stays there
        joined = assembly in self.jobs[part].used
        assert self.batch.take_out(assembly, part).recorded == joined
        if joined:
            self.jobs[assembly].parts.remove(part)
            del self.jobs[part].used[assembly]

    @rule(at=st.integers(0, 20), step=st.sampled_from([10, 20]))
    def open_one(self, at: int, step: int) -> None:
        job = self.job(at)
        if self.jobs[job].cancelled:
            assert not self.batch.open_ncr(job, step).recorded
            return
        assert self.batch.open_ncr(job, step).recorded
        self.jobs[job].opened.add(self.batch.state(job).nonconformances[-1].number)

    @rule(at=st.integers(0, 20))
    def void_one(self, at: int) -> None:
        job = self.job(at)
        if self.jobs[job].opened and not self.jobs[job].cancelled:
            number = min(self.jobs[job].opened)
            assert self.batch.void_ncr(job, number).recorded
            self.jobs[job].opened.remove(number)

    @rule(at=st.integers(0, 20))
    def cancel(self, at: int) -> None:
        job = self.job(at)
        known = self.jobs[job]
        may = not known.cancelled and not (known.opened and self.dependants(job))
        assert self.batch.cancel(job).recorded == may
        known.cancelled = known.cancelled or may

    @invariant()
    def pieces_add_up(self) -> None:
        balances = {job: self.batch.balance(job) for job in self.jobs}
        assert {job: found.here for job, found in balances.items()} == {
            job: known.here for job, known in self.jobs.items()
        }
        assert sum(found.here for found in balances.values()) + self.gone == sum(ROOTS.values())
        for job, known in self.jobs.items():
            found = balances[job]
            assert found.came == found.here + found.rejected + found.lost + found.split_off
            assert self.batch.state(job).batch.used == sum(known.used.values())

    @invariant()
    def everybody_knows_what_holds_them(self) -> None:
        open_ones = {(job, number) for job, known in self.jobs.items() for number in known.opened}
        for job in self.jobs:
            state = self.batch.state(job)
            told = {reason for reason in held(state, state.plan.steps[-1]) if reason.startswith("held")}
            sources = self.sources(job)
            expected = {
                f"held: nonconformance {number} of {source} is open: a lap at the toe"
                for source, number in open_ones
                if source in sources
            }
            assert told == expected, job

    def ancestors(self, job: str) -> set[str]:
        parent = self.jobs[job].parent
        return set() if parent is None else {parent, *self.ancestors(parent)}

    def sources(self, job: str) -> set[str]:
        """The jobs that hold ``job``: its parents, its parts, and theirs."""
        known = self.jobs[job]
        near = {*known.parts, *([known.parent] if known.parent else [])}
        return near.union(*(self.sources(other) for other in near)) if near else set()

    def dependants(self, job: str) -> set[str]:
        return {other for other in self.jobs if job in self.sources(other)}


@contextmanager
def _opened(path: Path) -> Iterator[Batch]:
    """The batch of a fresh copy of the shop."""
    for bench in issued_copy(path, batch_sheet(ROOTS[NUMBER])):
        batch = Batch(bench)
        for number, pieces in ROOTS.items():
            if number != NUMBER:
                batch.issue(number, pieces)
        yield batch


_SLOW_SHOP = [HealthCheck.too_slow, HealthCheck.filter_too_much]
Pieces.TestCase.settings = settings(
    max_examples=12, stateful_step_count=12, deadline=None, suppress_health_check=_SLOW_SHOP
)
TestStories = pytest.mark.slow(Pieces.TestCase)
