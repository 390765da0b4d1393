"""What every step planner works from, and the small pieces that they share."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from traveler.job.interpass import Maximum
from traveler.job.preheat import Minimum
from traveler.job.relief import Relief
from traveler.job.requirement import Basis, Evidence, Requirement
from traveler.job.sheet import Dimension, Joint, Sheet
from traveler.job.tempered import Soak, planned_soak
from traveler.library.model import Library, Units
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import finite_decimal, show
from traveler.quantity.units import BY_SYMBOL

CONTACT = ("contact thermometer", "thermocouple")


@dataclass(frozen=True, slots=True)
class Planning:
    """A sheet with what was worked out for it before any step is laid out.

    ``relieved``: the joints that are stress relieved before the step that is being laid out.
    """

    sheet: Sheet
    library: Library
    minima: Mapping[str, Minimum]
    maxima: Mapping[str, Maximum]
    relief: Relief
    relieved: frozenset[str] = frozenset()

    @property
    def units(self) -> Units:
        """Which of a source's two printed limits applies."""
        return self.sheet.units

    @property
    def soak(self) -> Soak | None:
        """The least soak of the stress relief, where one is called for and its range is settled."""
        return planned_soak(self.sheet, self.relief, self.library)


@dataclass(frozen=True, slots=True)
class Draft:
    """A step before it has its number: what it needs, what is wrong, and notes for the person who does it."""

    requirements: tuple[Requirement, ...]
    conflicts: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    chart_limits: tuple[Requirement, ...] = ()


def choice(
    quantity: str,
    options: tuple[str, ...],
    accepts: tuple[str, ...],
    why: str,
    joint: str | None = None,
    where: str = "",
) -> Requirement:
    """Something to be stated from fixed words, of which some comply (common practice, no published source)."""
    return Requirement(
        quantity=quantity,
        type="choice",
        options=options,
        accepts=accepts,
        joint=joint,
        why=why,
        evidence=Evidence(where=where),
    )


def text(
    quantity: str, why: str, joint: str | None = None, accepts: tuple[str, ...] = (), where: str = ""
) -> Requirement:
    """Something to be written down; ``accepts`` where only one answer is the right one."""
    return Requirement(
        quantity=quantity,
        type="text",
        joint=joint,
        accepts=accepts,
        why=why,
        evidence=Evidence(where=where),
    )


def hardenable(joint: Joint) -> bool:
    """A member of the joint can turn hard beside a weld."""
    return any(member.material.steel.hardenable for member in joint.members)


def dimension_requirement(dimension: Dimension) -> Requirement:
    """A dimension of the sheet: nominal plus or minus its tolerance, exact in the unit of the nominal."""
    unit = dimension.nominal.unit
    half = unit.from_canonical(dimension.tolerance.canonical)
    rule = dimension.tolerance_rule or "job sheet"
    working = (("nominal", show(dimension.nominal)), ("tolerance", f"± {show(dimension.tolerance)}"))
    source = dimension.tolerance_source
    basis = Basis(dimension.title, None, "governs", "ok", None, None, source, (), None, working)
    return Requirement(
        quantity=f"dimension {dimension.id}",
        type="number",
        unit="mm",
        at_least=_exactly(dimension.nominal.number - half, dimension.nominal),
        at_most=_exactly(dimension.nominal.number + half, dimension.nominal),
        governed_at_least=rule,
        governed_at_most=rule,
        why=f"{dimension.title}; as built before: {dimension.as_built}"
        if dimension.as_built
        else dimension.title,
        basis=(basis,),
    )


def _exactly(number: Fraction, like: Quantity) -> Quantity:
    """``number`` in the unit of ``like``: a decimal where it is finite, else a fraction, never rounded."""
    decimal = finite_decimal(number, 9)
    return Quantity(decimal if decimal is not None else str(number), number, BY_SYMBOL[like.unit.symbol])
