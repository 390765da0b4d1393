"""The tested welding procedure that a joint of the sheet names, and the range that it says of itself."""

from traveler.job.sheet import Procedure
from traveler.job.sheet_fields import Table
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show
from traveler.quantity.units import Kind

PROCEDURE = 'a table such as { id = "WPS-12", revision = "B", preheat_tested = "300 F" }'
COLDEST_TEST_C, HOTTEST_TEST_C = -20, 600
"""Outside of these the temperature of a test piece is a slip of the unit (common practice, no published source)."""


def read_procedure(table: Table | None) -> Procedure | None:
    """None where the joint names none, or where the table has a fault."""
    if table is None:
        return None
    id_ = table.name("id", "the number of the procedure")
    revision = table.text("revision", "its revision, such as B", required=False)
    preheat = _temperature(table, "preheat_tested")
    interpass = _temperature(table, "interpass_tested")
    thinnest = table.quantity("thickness_from", Kind.LENGTH, required=False)
    thickest = table.quantity("thickness_to", Kind.LENGTH, required=False)
    gas = table.text("gas", "the shielding gas and its flow, in words", required=False)
    purge = table.text("purge", "the backing gas and its flow, in words", required=False)
    governs = table.flag("governs")
    table.finish()
    if governs and interpass is None and not table.has("interpass_tested"):
        table.fault("governs", "read it without interpass_tested", "the temperature that its maximum goes by")
    if preheat and interpass and interpass.canonical < preheat.canonical:
        table.fault("interpass_tested", f"read {show(interpass)}", f"at least the preheat, {show(preheat)}")
    if thinnest and thickest and thickest.canonical < thinnest.canonical:
        table.fault("thickness_to", f"read {show(thickest)}", f"at least the lower end, {show(thinnest)}")
    if id_ is None:
        return None
    return Procedure(id_, revision, preheat, interpass, thinnest, thickest, gas, purge, governs)


def _temperature(table: Table, key: str) -> Quantity | None:
    found = table.quantity(key, Kind.TEMPERATURE, above_zero=False, required=False)
    if found is not None and not COLDEST_TEST_C <= found.canonical <= HOTTEST_TEST_C:
        expected = (
            f"the temperature of the test piece, {COLDEST_TEST_C} to {HOTTEST_TEST_C} °C (-4 to 1112 °F)"
        )
        table.fault(key, f"read {show(found)}", expected)
        return None
    return found
