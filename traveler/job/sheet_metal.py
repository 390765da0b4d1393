"""The metals of a sheet: what is welded and what it is welded with."""

import re
from fractions import Fraction
from typing import get_args

from traveler.job.sheet import Condition, Material, SheetFiller
from traveler.job.sheet_fields import Table
from traveler.job.sheet_words import place_name, shown
from traveler.library.model import Library
from traveler.metals.composition import STEEL_ELEMENTS
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show
from traveler.quantity.units import Kind

# The document types of EN 10204:2004.
CERTIFICATES = ("2.1", "2.2", "3.1", "3.2", "none")

HARDNESS = 'a table such as { at_least = "156 HB", at_most = "229 HB" }'

# Iron is the balance; no certificate of a steel reports it.
ELEMENTS = STEEL_ELEMENTS - {"Fe"}
COMPOSITION = "mass percent by element, such as { C = 0.31, Mn = 0.52 }"
# Steel is mostly iron: more alloy than this is a slipped decimal point.
MOST_ALLOY_PERCENT = 50

# A temper outside this is a slip of the unit (1150 C for 1150 F): nothing is tempered below it, and these
# steels transform at 720 to 760 C. Common practice, no published source.
COLDEST_TEMPER_C, HOTTEST_TEMPER_C = 100, 800

_HYDROGEN_CLASS = re.compile(r"H([0-9]{1,3}(?:\.[0-9]{1,3})?)")
MOST_HYDROGEN_ML_100G = 100


def read_material(table: Table, id_: str, library: Library) -> Material | None:
    """The piece of metal in ``table``; None where it has a fault."""
    steels = library.steels
    labels = {key: steel.name for key, steel in steels.items()}
    steel = table.named("grade", "grades", steels, labels=labels, fold=True)
    condition = table.choice("condition", get_args(Condition))
    heat_number = table.text("heat_number", "the heat number as marked", required=False)
    certificate = table.choice("certificate", CERTIFICATES, default="none")
    reported = table.table("composition", COMPOSITION, required=False)
    composition = _composition(reported)
    tempered_at = _tempered_at(table, condition)
    hardness = _hardness(table.table("hardness", HARDNESS, required=False))
    table.finish()
    if steel is None or condition is None or certificate is None:
        return None
    figures = tuple((symbol, reported.figure(symbol)) for symbol, _ in composition) if reported else ()
    return Material(
        id_, steel, condition, heat_number, certificate, composition, tempered_at, hardness, figures
    )


def read_filler(table: Table, id_: str, library: Library) -> SheetFiller | None:
    """The filler in ``table``; None where it has a fault."""
    labels = {key: filler.classification for key, filler in library.fillers.items()}
    filler = table.named(
        "classification", "filler classifications", library.fillers, labels=labels, fold=True
    )
    hydrogen_class, hydrogen_ml_100g = _hydrogen(table)
    lot = table.text("lot", "the lot number as marked", required=False)
    table.finish()
    if filler is None:
        return None
    return SheetFiller(id_, filler, hydrogen_class, hydrogen_ml_100g, lot)


def _composition(table: Table | None) -> tuple[tuple[str, Fraction], ...]:
    """Mass percent by element, in the order of the certificate."""
    if table is None:
        return ()
    found = [(symbol, _percent(table, symbol)) for symbol in table.written()]
    reported = tuple((symbol, percent) for symbol, percent in found if percent is not None)
    total = sum(percent for _, percent in reported)
    if not found:
        table.fault_here("read an empty table", "what the certificate reports, or no composition at all")
    elif total > MOST_ALLOY_PERCENT:
        table.fault_here(
            f"read elements that add up to {float(total):g} percent",
            f"at most {MOST_ALLOY_PERCENT} percent besides the iron, since a steel is mostly iron",
        )
    return reported


def _percent(table: Table, symbol: str) -> Fraction | None:
    if symbol in ELEMENTS:
        return table.number(symbol, "mass percent from 0 to 100", at_most=100)
    expected = f"one of {', '.join(sorted(ELEMENTS))}"
    by_folded = {element.casefold(): element for element in ELEMENTS}
    if symbol == "Fe":
        expected = "the elements without iron, which is the balance"
    elif symbol.casefold() in by_folded:
        expected = f'the symbol as chemists write it, "{by_folded[symbol.casefold()]}"'
    table.fault(place_name(symbol), "read an unknown element", expected)
    return None


def _tempered_at(table: Table, condition: str | None) -> Quantity | None:
    quantity = table.quantity("tempered_at", Kind.TEMPERATURE, above_zero=False, required=False)
    if quantity is None:
        return None
    read = f"read {show(quantity)}"
    if condition not in (None, "quenched and tempered"):
        table.fault(
            "tempered_at",
            f'{read} for metal in the condition "{condition}"',
            'it only with the condition "quenched and tempered"',
        )
    elif not COLDEST_TEMPER_C < quantity.canonical < HOTTEST_TEMPER_C:
        table.fault(
            "tempered_at",
            read,
            f"a tempering temperature between {COLDEST_TEMPER_C} and {HOTTEST_TEMPER_C} °C (212 and 1472 °F)",
        )
    return quantity


def _hardness(table: Table | None) -> tuple[Quantity | None, Quantity | None] | None:
    """Least and greatest as received, in one scale: no scale converts exactly into another."""
    if table is None:
        return None
    low = table.quantity("at_least", Kind.HARDNESS, required=False)
    high = table.quantity("at_most", Kind.HARDNESS, required=False)
    table.finish()
    if not table.written():
        table.fault_here("read an empty table", HARDNESS)
    if low is None or high is None:
        return None if low is high else (low, high)
    if low.unit != high.unit:
        table.fault("at_most", f"read {show(high)} beside {show(low)}", "both bounds in one scale")
    elif low.number > high.number:
        table.fault("at_most", f"read {show(high)}", f"at least the lower bound, {show(low)}")
    return low, high


def _hydrogen(table: Table) -> tuple[str | None, Fraction | None]:
    """The class as written, and its ml of diffusible hydrogen per 100 g of deposit: H5 is 5 (ISO 3690)."""
    expected = 'a hydrogen class such as "H5", the ml of hydrogen per 100 g of deposit'
    written = table.text("hydrogen", expected, required=False, may_be_digits=False)
    if written is None:
        return None, None
    match = _HYDROGEN_CLASS.fullmatch(written)
    if match is None or not 0 < Fraction(match[1]) <= MOST_HYDROGEN_ML_100G:
        table.fault("hydrogen", f"read {shown(written)}", f"{expected}, above 0 and up to 100")
        return None, None
    return written, Fraction(match[1])
