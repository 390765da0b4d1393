"""Reading ``fillers.toml`` and ``processes.toml``."""

from collections.abc import Mapping

from traveler.library.model import Filler, Printed, Process
from traveler.library.reading import Table
from traveler.library.steels import enter

KINDS = ("unalloyed", "low alloy", "4130 type", "austenitic", "nickel")


def read_fillers(data: Table, printed: Mapping[str, Printed]) -> dict[str, Filler]:
    """Every filler by its case-folded classification and aliases.

    A filler's maximum interpass temperature is named, not repeated: ``interpass = "interpass nickel"``.
    """
    fillers: dict[str, Filler] = {}
    for table in data.tables("filler"):
        filler = read_filler(table, printed)
        enter(fillers, filler, (filler.classification, *filler.aliases), table.place)
    data.done()
    return fillers


def read_filler(table: Table, printed: Mapping[str, Printed]) -> Filler:
    """One classification."""
    kind = table.text("kind")
    if kind not in KINDS:
        raise table.fault("kind", kind, "one of " + ", ".join(KINDS))
    interpass = table.text_or_none("interpass")
    if interpass is not None and interpass not in printed:
        raise table.fault("interpass", interpass, "a limit of limits.toml")
    deposit = table.table("deposit") if table.has("deposit") else None
    hydrogen = table.table("hydrogen_ml_100g") if table.has("hydrogen_ml_100g") else None
    filler = Filler(
        classification=table.text("name"),
        aliases=table.texts("aliases"),
        kind=kind,
        deposit=None if deposit is None else {e: float(deposit.number(e)) for e in deposit.names()},
        deposit_source=None if deposit is None else deposit.source(),
        interpass_max=None if interpass is None else printed[interpass],
        note=table.text_or_none("note"),
        source=table.source(),
        low_hydrogen=table.flag("low_hydrogen") if table.has("low_hydrogen") else None,
        hydrogen_ml_100g=None if hydrogen is None else hydrogen.number("value"),
        hydrogen_source=None if hydrogen is None else hydrogen.source(),
    )
    for below in (hydrogen, table):
        if below is not None:
            below.done()
    return filler


def read_processes(data: Table) -> dict[str, Process]:
    """Every process by its ISO 4063 number."""
    processes: dict[str, Process] = {}
    for table in data.tables("process"):
        efficiency, hydrogen = table.table("efficiency"), table.table("hydrogen_ml_100g")
        process = Process(
            number=table.text("name"),
            name=table.text("title"),
            efficiency=efficiency.number("value"),
            efficiency_source=efficiency.source(),
            hydrogen_ml_100g=hydrogen.number("value"),
            hydrogen_source=hydrogen.source(),
            d11=table.flag("d11"),
            low_hydrogen=table.flag("low_hydrogen"),
        )
        for below in (efficiency, hydrogen, table):
            below.done()
        enter(processes, process, (process.number,), table.place)
    data.done()
    return processes
