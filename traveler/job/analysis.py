"""What is known of a metal's composition, on the worse side for hardening, and how it is known."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from traveler.job.sheet import Joint, Material
from traveler.library.model import ElementLimits, Steel

HARDENING = ("C", "Si", "Mn", "Cr", "Mo", "Ni", "Cu", "V", "B")
"""Elements that raise a carbon equivalent; the indices and method B read no others."""
NO_STEEL_WITHOUT = ("C", "Mn")
"""Where a specification is silent on these it is a blank, not a zero."""
NOTHING_MM = Fraction(0)
WITHOUT_RESULTS = ("none", "2.1")
"""Certificates (EN 10204) that prove no analysis."""


@dataclass(frozen=True, slots=True)
class Analysis:
    """Mass percent for the question "how hard may it turn", element by element.

    ``reported`` from the certificate; ``assumed`` at the grade's maximum; ``unknown``: limited by nobody, so no
    formula that needs the element may be used; ``left_out``: residual elements that the certificate does not report,
    taken as zero; ``figures``: what is reported, as the certificate writes it.
    """

    reported: Mapping[str, float]
    assumed: Mapping[str, float]
    unknown: tuple[str, ...]
    left_out: tuple[str, ...]
    figures: Mapping[str, str]

    @property
    def composition(self) -> dict[str, float]:
        """Every element with a number."""
        return {**self.assumed, **self.reported}

    def missing_for(self, elements: tuple[str, ...]) -> tuple[str, ...]:
        """Those of ``elements`` that nobody limits."""
        return tuple(element for element in elements if element in self.unknown)

    def words(self) -> str:
        """For the head of the traveler: each content with where it comes from."""
        parts = []
        if self.reported:
            parts.append(", ".join(f"{e} {self.figures[e]}" for e in self.reported) + " (certificate)")
        if self.assumed:
            parts.append(
                ", ".join(f"{e} {v:g}" for e, v in self.assumed.items()) + " (assumed: grade maximum)"
            )
        if self.left_out:
            parts.append(", ".join(self.left_out) + " not reported (residual, taken as 0)")
        if self.unknown:
            parts.append(", ".join(self.unknown) + " unknown")
        return "; ".join(parts)


def analyse(material: Material, joints: tuple[Joint, ...]) -> Analysis:
    """Certificate first, else the grade's limits on the worse side; never a nominal value, a blank never zero.

    Above the thickness up to which the specification's limits stand they tell nothing. An analysis without a
    certificate proves nothing: of it and the grade's limit the greater counts. An element that the specification does
    not name is left out as an unspecified residual, unless no steel is without it.
    """
    stated = {element: float(content) for element, content in material.composition}
    proven = _proven(material)
    limits = _limits_of(material, joints)
    assumed: dict[str, float] = {}
    unknown: list[str] = []
    left_out: list[str] = []
    for element in (element for element in HARDENING if element not in proven):
        limit = limits.get(element)
        if limit is None or limit.max is None:
            if limit is not None or element in NO_STEEL_WITHOUT:
                unknown.append(element)
        elif limit.residual and proven:
            left_out.append(element)
        else:
            assumed[element] = max(limit.max, stated.get(element, 0.0))
    figures = {element: material.figure(element, content) for element, content in proven.items()}
    return Analysis(proven, assumed, tuple(unknown), tuple(left_out), figures)


def lean_composition(material: Material) -> dict[str, float] | None:
    """Mass percent on the lean side, where transformation on cooling begins hottest; None without carbon.

    What a certificate reports, else the grade's minimum, else nothing of the element.
    """
    proven = _proven(material)
    limits = material.steel.limits
    if "C" not in proven and "C" not in limits:
        return None
    return {
        element: proven.get(element, (limits[element].min or 0.0) if element in limits else 0.0)
        for element in HARDENING
    }


def certificate_conflicts(material: Material, joints: tuple[Joint, ...]) -> tuple[str, ...]:
    """Each element that a certificate with results reports outside the grade's limits: metal of another grade.

    The limits are those of the heat (ladle) analysis; an analysis of the product may stand a little outside.
    """
    limits = _limits_of(material, joints)
    found = []
    for element, content in _proven(material).items():
        limit = limits.get(element)
        if limit is None or _inside(content, limit):
            continue
        found.append(
            f"the certificate of {material.id} reports {element} {material.figure(element, content)} %, and "
            f"{material.steel.name} has {_range_words(limit)} %: another grade, another kind of analysis, or a slip; "
            "the engineer must settle it"
        )
    return tuple(found)


def _proven(material: Material) -> dict[str, float]:
    if material.certificate in WITHOUT_RESULTS:
        return {}
    return {element: float(content) for element, content in material.composition}


def _inside(content: float, limit: ElementLimits) -> bool:
    return (limit.min is None or content >= limit.min) and (limit.max is None or content <= limit.max)


def _range_words(limit: ElementLimits) -> str:
    if limit.min is None:
        return f"at most {limit.max:g}"
    return f"at least {limit.min:g}" if limit.max is None else f"{limit.min:g} to {limit.max:g}"


def _thickness_mm(material: Material, joints: tuple[Joint, ...]) -> Fraction:
    thicknesses = (
        member.thickness.canonical
        for joint in joints
        for member in joint.members
        if member.material.id == material.id
    )
    return max(thicknesses, default=NOTHING_MM)


def _limits_of(material: Material, joints: tuple[Joint, ...]) -> Mapping[str, ElementLimits]:
    """The grade's limits, or as blanks where the piece is thicker than they reach."""
    steel = material.steel
    if steel.limits_up_to_mm is None or limits_stand(steel, _thickness_mm(material, joints)):
        return steel.limits
    return {e: ElementLimits(None, None, limit.source) for e, limit in steel.limits.items()}


def limits_stand(steel: Steel, thickness_mm: Fraction) -> bool:
    """Whether the specification's limits, and the carbon equivalent it guarantees, hold at this thickness."""
    return steel.limits_up_to_mm is None or thickness_mm <= steel.limits_up_to_mm
