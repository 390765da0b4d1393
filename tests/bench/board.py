"""The board of many jobs in use: memory, and what a key costs of the program's own time."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import median, quantiles

from files import Files
from kernel import peak_mib, seen, share_mib
from measured import Figure, Measured, rounded
from paint import BARE_APP, Child, quiet, started
from processes import TRAVELER
from sizes import Sizes

KEYS = (
    ["\x1b[B"] * 40  # down, beyond the first page
    + ["\x1b[6~"] * 20  # pages down
    + ["\x1b[A"] * 20
    + ["\x1b[F", "\x1b[H"] * 5  # to the end and back
    + ["v"] * 10
    + ["/", *"wing stay", "\x1b"] * 2
)
"""What somebody does who looks through the jobs."""


@dataclass(frozen=True)
class Handled:
    """Time of the program's own [s] for each key of ``KEYS``, its peak memory and its share of memory [MiB]."""

    key_s: list[float]
    peak: float
    share: float


def memory(sizes: Sizes, files: Files) -> Iterator[Measured]:
    """Of the app after looking through the jobs, against an app of one line."""
    few = _handled(files.with_jobs(sizes.few_jobs), sizes.keys)
    for jobs in sizes.many_jobs:
        shop = files.with_jobs(jobs)
        runs = [(_handled(shop, sizes.keys), _bare(shop)) for _ in range(sizes.app_runs)]
        many = runs[-1][0]
        figure = Figure(
            "memory", f"peak memory of the app, {jobs:,} jobs", "bare Textual app", "beyond", 60.0, "MiB"
        )
        notes = {
            "with 10 jobs, MiB": rounded(few.peak),
            "its share (PSS), MiB": rounded(many.share),
            "bare app's share, MiB": rounded(runs[-1][1].share),
            "a key, ms": rounded(1000 * median(many.key_s)),
            "with 10 jobs, ms": rounded(1000 * median(few.key_s)),
            "a slow key (95th percentile), ms": rounded(1000 * quantiles(many.key_s, n=20)[-1]),
            "a slow key with 10 jobs, ms": rounded(1000 * quantiles(few.key_s, n=20)[-1]),
        }
        yield figure.of([(app.peak, bare.peak) for app, bare in runs], notes=notes)


def _handled(shop: Path, keys: int) -> Handled:
    """Press every key, each once the program is quiet again; its own time is what the kernel counts for it."""
    with started(TRAVELER, shop) as child:
        quiet(child)
        times = [_key_s(child, key) for key in KEYS[:keys]]
        return Handled(times, peak_mib(child.pid), share_mib(child.pid))


def _bare(shop: Path) -> Handled:
    with started(BARE_APP, shop) as child:
        quiet(child)
        return Handled([], peak_mib(child.pid), share_mib(child.pid))


def _key_s(child: "Child[bytes]", key: str) -> float:
    before = seen(child.pid).busy_s
    child.send(key)
    quiet(child)
    return seen(child.pid).busy_s - before
