"""What the kernel says of a process: time on a processor, times it woke, memory."""

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Seen:
    """Since its start: seconds on a processor, and how often one of its threads went to wait for something."""

    busy_s: float
    waits: int


def seen(pid: int) -> Seen:
    """Of all threads of a process together."""
    tasks = list(Path(f"/proc/{pid}/task").iterdir())
    busy = sum(int((task / "schedstat").read_text().split()[0]) for task in tasks) / 1e9
    return Seen(busy, sum(_number(task / "status", "voluntary_ctxt_switches") for task in tasks))


def peak_mib(pid: int) -> float:
    """The most memory that the process ever held, what it shares with others included."""
    return _number(Path(f"/proc/{pid}/status"), "VmHWM") / 1024


def share_mib(pid: int) -> float:
    """What it holds now, of what it shares with others its share only."""
    return _number(Path(f"/proc/{pid}/smaps_rollup"), "Pss") / 1024


def _number(path: Path, name: str) -> int:
    return next(int(line.split()[1]) for line in path.read_text().splitlines() if line.startswith(f"{name}:"))
