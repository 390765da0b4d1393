"""Where the time of a figure goes: the functions with most time of their own, in hundredths of the whole."""

import cProfile
import pstats
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

from charts import judge, write_chart
from commit import act_s
from dossiers import JOB
from files import Files
from opening import opened
from paint import started
from processes import run_s, sheet
from sizes import Sizes

from traveler.acts.clock import SystemClock
from traveler.acts.verify import verify
from traveler.job.state import Person
from traveler.record.shop import Shop
from traveler.tui.session import Session

SHOWN = 8
EVENTS = 100_000
"""At most so many: where the time goes is the same for more, and takes a profiler minutes."""
_PROFILED = """
import cProfile
profile = cProfile.Profile()
profile.enable()
try:
    from traveler.cli.main import main
    main()
finally:
    profile.disable()
    profile.dump_stats({target!r})
"""


def profile(name: str, sizes: Sizes, files: Files) -> str:
    """A list for people; a profiler makes calls dearer than they are, so the shares are rough."""
    target = files.folder / f"{name}.profile"
    PROFILED[name](sizes, files, target)
    found = pstats.Stats(str(target)).stats
    whole = sum(own for _, _, own, _, _ in found.values())
    lines = [f"{name}, {whole:.2f} s under the profiler:"]
    for (file, _, function), (_, calls, own, _, _) in sorted(found.items(), key=lambda item: -item[1][2])[
        :SHOWN
    ]:
        called = function.removeprefix("<function ").split(" at 0x")[0]
        where = f"{Path(file).name}: {called}" if file.endswith(".py") else called
        lines.append(f"    {100 * own / whole:4.0f} %  {calls:>9,} calls  {where}")
    return "\n".join(lines)


def _process(target: Path, *arguments: str) -> None:
    for _ in range(2):  # the first time, modules may have to be compiled
        run_s([*_command(target), *arguments])


def _command(target: Path) -> list[str]:
    return [sys.executable, "-c", _PROFILED.format(target=str(target))]


def _here(work: Callable[[], object], target: Path) -> None:
    with cProfile.Profile() as taken:
        work()
    taken.dump_stats(target)


def _version(_: Sizes, __: Files, target: Path) -> None:
    _process(target, "--version")


def _plan(sizes: Sizes, files: Files, target: Path) -> None:
    path = files.folder / "profiled.toml"
    path.write_text(sheet(sizes.joints[0]), encoding="utf-8")
    _process(target, "plan", str(path))


def _paint(sizes: Sizes, files: Files, target: Path) -> None:
    for _ in range(2):
        with started(_command(target), files.with_jobs(sizes.few_jobs)):
            pass


def _open(sizes: Sizes, files: Files, target: Path) -> None:
    path, number = files.one_job(sizes.job_events[0])
    with Shop.open(path) as shop:
        session = Session(shop, SystemClock(), Person("Ana Lund"))
        _here(lambda: opened(session, number), target)


def _commit(sizes: Sizes, files: Files, target: Path) -> None:
    path, number = files.worked_job(sizes.readings_before[0])
    with Shop.open(path) as shop:
        act_s(shop, number)
        _here(lambda: [act_s(shop, number) for _ in range(sizes.readings)], target)


def _chart(sizes: Sizes, files: Files, target: Path) -> None:
    path = files.folder / "profiled.csv"
    write_chart(path, sizes.chart_rows[0])
    judge(path)
    _here(lambda: judge(path), target)


def _chain(sizes: Sizes, files: Files, target: Path) -> None:
    path = files.with_events(min(sizes.events[0], EVENTS))
    _here(lambda: verify(path, chain_only=True), target)


def _verify(sizes: Sizes, files: Files, target: Path) -> None:
    path = files.with_events(min(sizes.events[0], EVENTS))
    _here(lambda: verify(path), target)


def _dossier(_: Sizes, files: Files, target: Path) -> None:
    out = str(files.folder / "profiled.pdf")
    _process(target, "export", JOB, "--format", "pdf", "--output", out, "--shop", str(files.demo))


PROFILED: dict[str, Callable[[Sizes, Files, Path], None]] = {
    "version": _version,
    "plan": _plan,
    "paint": _paint,
    "open": _open,
    "commit": _commit,
    "chart": _chart,
    "chain": _chain,
    "verify": _verify,
    "dossier": _dossier,
}
"""Of the others the time is waiting: for another session's commit, for nothing, or for the same as in ``paint``."""


def profiles(names: list[str], sizes: Sizes, files: Files) -> Iterator[str]:
    """The profile of each of these figures that has one."""
    for name in names:
        if name in PROFILED:
            yield profile(name, sizes, files)
