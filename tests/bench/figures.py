"""The figures by name, in the order of the table."""

from collections.abc import Callable, Iterator

from board import memory
from charts import chart
from commit import commit
from dossiers import dossier
from files import Files
from idle import idle
from measured import Measured
from opening import opening
from paint import first_paint, paint_of_many
from processes import plan, version
from sessions import sessions
from sizes import Sizes
from verifying import chain, full

FIGURES: dict[str, Callable[[Sizes, Files], Iterator[Measured]]] = {
    "version": version,
    "plan": plan,
    "paint": first_paint,
    "paint-many": paint_of_many,
    "open": opening,
    "commit": commit,
    "sessions": sessions,
    "chart": chart,
    "chain": chain,
    "verify": full,
    "dossier": dossier,
    "idle": idle,
    "memory": memory,
}
GROWING = ("plan", "paint-many", "open", "commit", "sessions", "chart", "chain", "verify", "memory")
"""Those that have a size."""
