"""How far the program is off on the open data that lie beside the project, where they do.

Starts of martensite: LibreCalphad (MIT). Tempering: Raiipa Technologies (CC BY 4.0), compiled from Hollomon and Jaffe
1945, Grange and Baughman 1956 and Penha 2010; rows under 20 HRC are left out.
"""

import csv
import tomllib
from collections.abc import Callable, Mapping
from math import sqrt
from pathlib import Path
from typing import Any

from checks_model import number
from e140_rows import hrc_of_vickers

from traveler.metals.martensite_start import andrews_ms, kung_rayment_ms, steven_haynes_ms, van_bohemen_ms
from traveler.metals.outcome import Outcome
from traveler.metals.tempering import (
    CARBON_RANGE,
    ELEMENT_RANGES,
    PARAMETER_RANGE,
    grange_baughman_parameter,
    tempered_hardness,
)

FOLDER = Path(__file__).parents[3] / "shared" / "data"
STARTS, TEMPERING = FOLDER / "ms_librecalphad.csv", FOLDER / "raiipa_tempering.csv"
FROZEN = Path(__file__).with_name("checks_open_data.toml")
MS_ELEMENTS = ("C", "MN", "SI", "CR", "NI", "MO", "V", "CU", "CO")
TEMPERING_ELEMENTS = ("C", "Mn", "Si", "Ni", "Cr", "Mo", "V")
FORMULAS: Mapping[str, Callable[[Mapping[str, float]], Outcome]] = {
    "Andrews": andrews_ms,
    "Kung-Rayment": kung_rayment_ms,
    "Steven-Haynes": steven_haynes_ms,
    "van Bohemen": van_bohemen_ms,
}


def frozen() -> dict[str, Any]:
    """The results as they were measured, and when."""
    return tomllib.loads(FROZEN.read_text(encoding="utf-8"))


def measured() -> dict[str, tuple[int, float, float]]:
    """Rows, mean error and root mean square error of each result; needs both files."""
    return {
        **{name: _errors(_starts(formula)) for name, formula in FORMULAS.items()},
        **{name: _errors(found) for name, found in _tempering().items()},
    }


def _errors(off: list[float]) -> tuple[int, float, float]:
    return len(off), sum(off) / len(off), sqrt(sum(error**2 for error in off) / len(off))


def _starts(formula: Callable[[Mapping[str, float]], Outcome]) -> list[float]:
    """Steels like 25CrMo4 to 50CrMo4: Cr and Mo within EN 10083-3, C 0.20 to 0.55, Mn to 1, Ni to 0.35 %, no V."""
    rows = [{key: _float(text) for key, text in row.items()} for row in _read(STARTS)]
    return [
        number(formula({key.capitalize(): row[key] for key in MS_ELEMENTS})) - row["Ms_C"]
        for row in rows
        if 0.20 <= row["C"] <= 0.55 and 0.90 <= row["CR"] <= 1.20 and 0.15 <= row["MO"] <= 0.30
        if row["MN"] <= 1.0 and row["NI"] <= 0.35 and row["V"] == 0
    ]  # fmt: skip


def _tempering() -> dict[str, list[float]]:
    found: dict[str, list[float]] = {"fit": [], "4140": [], "4140 Grange": [], "alloy Grange": []}
    for row in _read(TEMPERING):
        steel, grange = row["Steel type"].strip(), "Grange" in row["Source"]
        composition = {symbol: float(row[f"{symbol} (%wt)"]) for symbol in TEMPERING_ELEMENTS}
        hours = float(row["Tempering time (s)"]) / 3600
        parameter = grange_baughman_parameter(float(row["Tempering temperature (ºC)"]), hours)
        hrc = float(row["Final hardness (HRC) - post tempering"])
        if hrc < 20 or CARBON_RANGE.outside(composition["C"]) or PARAMETER_RANGE.outside(parameter):
            continue
        error = hrc_of_vickers(number(tempered_hardness(parameter, composition))) - hrc
        plain = steel.startswith("AISI-SAE 10") or steel.endswith("plain carbon steel")
        if plain and "Penha" not in row["Source"]:
            found["fit"].append(error)
        if steel.endswith("4140"):
            found["4140"].append(error)
        if steel.endswith("4140") and grange:
            found["4140 Grange"].append(error)
        if grange and not plain and not any(limit.above(composition[limit.name]) for limit in ELEMENT_RANGES):
            found["alloy Grange"].append(error)
    return found


def _read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _float(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return 0.0
