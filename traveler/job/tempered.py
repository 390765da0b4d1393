"""What a planned stress relief leaves of the hardness beside the weld: an upper bound, never a limit."""

from dataclasses import dataclass, replace

from traveler.job.analysis import Analysis, analyse
from traveler.job.relief import Relief, hold_thickness_in, least_hold, soak_band
from traveler.job.requirement import Basis
from traveler.job.rough import hv_down, hv_up
from traveler.job.sheet import Material, Sheet, materials_of
from traveler.job.weld_cycle import weakest
from traveler.library.model import Library
from traveler.metals.composition import Composition
from traveler.metals.hollomon_jaffe import CODE_CONSTANT, hollomon_jaffe
from traveler.metals.outcome import Outcome, Source
from traveler.metals.tempering import (
    GRANGE_BAUGHMAN_SOURCE,
    grange_baughman_parameter,
    tempered_hardness,
)
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show, show_both

AFTER_RELIEF = "hardness beside the weld, after the stress relief"
PARAMETER = f"Hollomon-Jaffe parameter, constant {CODE_CONSTANT:g}"
PARAMETER_SOURCE = Source("Hollomon and Jaffe, Trans. AIME 162, 223", "secondary", edition="1945")
NEEDED = ("C", "Si", "Mn", "Cr", "Mo", "Ni", "V")


@dataclass(frozen=True, slots=True)
class Soak:
    """The least soak that a profile asks for: its range of temperature and the least time [h]."""

    low: Quantity
    high: Quantity | None
    hold: Quantity

    @property
    def hours(self) -> float:
        """The least time [h]."""
        return float(self.hold.canonical) / 3600

    @property
    def ends_c(self) -> tuple[float, float]:
        """The coldest and the hottest soak [degC]."""
        return float(self.low.canonical), float((self.high or self.low).canonical)

    def words(self) -> str:
        """ "1100 °F (593.3 °C) to 1150 °F (621.1 °C), 60 min"."""
        upper = f" to {show_both(self.high)}" if self.high else ""
        return f"{show_both(self.low)}{upper}, {show(self.hold)}"


def planned_soak(sheet: Sheet, relief: Relief, library: Library) -> Soak | None:
    """The soak that the sheet's profile asks for; None where none is called for or the engineer has to settle it."""
    if not relief.called or relief.profile is None:
        return None
    band = soak_band(sheet, relief.profile, library)
    if band.conflicts or band.low is None or band.low.limit is None:
        return None
    hold = least_hold(relief.profile, hold_thickness_in(relief.profile, sheet.joints))
    return Soak(band.low.limit, band.high.limit if band.high else None, hold)


def parameter_row(soak: Soak) -> Basis:
    """The tempering parameter of the least soak, at the cold and at the hot end of the range."""
    cold, hot = (hollomon_jaffe(end_c, soak.hours, CODE_CONSTANT) for end_c in soak.ends_c)
    return Basis(
        method=PARAMETER,
        bound=None,
        role="indicative",
        status="ok",
        value=f"{cold:.2f}",
        value_to=f"{hot:.2f}" if soak.high else None,
        unit=None,
        source=PARAMETER_SOURCE,
        reasons=("kelvin and hours, in thousands; the hold alone, without heating and cooling",),
        working=(("soak", soak.words()),),
    )


def tempered_rows(soak: Soak, sheet: Sheet) -> tuple[Basis, ...]:
    """One row for each hardenable metal of the job."""
    metals = [material for material in materials_of(sheet.joints) if material.steel.hardenable]
    return tuple(_row(soak, material, analyse(material, sheet.joints)) for material in metals)


def after_relief(soak: Soak, composition: Composition) -> tuple[Outcome, Outcome]:
    """Hardness after the least hold at the hot and at the cold end of the range [HV], softer first."""
    cold, hot = (
        tempered_hardness(grange_baughman_parameter(end_c, soak.hours), composition) for end_c in soak.ends_c
    )
    return hot, cold


def _row(soak: Soak, material: Material, analysis: Analysis) -> Basis:
    row = Basis(
        AFTER_RELIEF, None, "indicative", "not applicable", None, "HV", GRANGE_BAUGHMAN_SOURCE,
        member=material.id, working=(("soak", soak.words()),),
    )  # fmt: skip
    unknown = analysis.missing_for(NEEDED)
    if unknown or "C" not in analysis.composition:
        return replace(row, reasons=(f"{', '.join(unknown or ('C',))} unknown: a certificate tells",))
    soft, hard = after_relief(soak, analysis.composition)
    reasons = tuple(dict.fromkeys((*soft.reasons, *hard.reasons)))
    if analysis.assumed:
        reasons += (f"{', '.join(analysis.assumed)} at the grade's maximum",)
    if soft.value is None or hard.value is None:
        return replace(row, status=weakest((soft.status, hard.status)), reasons=reasons)
    return replace(
        row,
        status=weakest((soft.status, hard.status)),
        value=str(hv_down(soft.value)),
        value_to=str(hv_up(hard.value)),
        reasons=reasons,
    )
