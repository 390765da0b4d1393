"""What the kernel says of a process: time on a processor, times it woke, memory."""

import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

# Not getrusage: that of a young process also counts the memory of the one that started it.
_PEAK = """
print(next(line.split()[1] for line in open("/proc/self/status") if line.startswith("VmHWM")))
"""


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


def memory_mib(code: str, *arguments: object) -> float:
    """The most memory of a process that runs ``code`` and nothing else, beyond that of a bare Python."""
    with_work, bare = (
        subprocess.run(
            [sys.executable, "-c", text, *map(str, arguments)], capture_output=True, text=True, check=True
        )
        for text in (code + _PEAK, _PEAK)
    )
    return (int(with_work.stdout) - int(bare.stdout)) / 1024


def _number(path: Path, name: str) -> int:
    return next(int(line.split()[1]) for line in path.read_text().splitlines() if line.startswith(f"{name}:"))
