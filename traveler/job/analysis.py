"""What is known of a metal's composition, on the worse side for hardening, and how it is known."""

from collections.abc import Mapping
from dataclasses import dataclass

from traveler.job.sheet import Material
from traveler.library.model import Steel

HARDENING = ("C", "Si", "Mn", "Cr", "Mo", "Ni", "Cu", "V", "B")
"""Elements that raise a carbon equivalent; the indices and method B read no others."""


@dataclass(frozen=True, slots=True)
class Analysis:
    """Mass percent for the question "how hard may it turn", element by element.

    ``reported`` from the certificate; ``assumed`` at the grade's maximum; ``unknown``: limited by nobody, so no
    formula that needs the element may be used; ``left_out``: residual elements that the certificate does not report,
    taken as zero.
    """

    reported: Mapping[str, float]
    assumed: Mapping[str, float]
    unknown: tuple[str, ...]
    left_out: tuple[str, ...]

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
            parts.append(", ".join(f"{e} {v:g}" for e, v in self.reported.items()) + " (certificate)")
        if self.assumed:
            parts.append(
                ", ".join(f"{e} {v:g}" for e, v in self.assumed.items()) + " (assumed: grade maximum)"
            )
        if self.left_out:
            parts.append(", ".join(self.left_out) + " not reported (residual, taken as 0)")
        if self.unknown:
            parts.append(", ".join(self.unknown) + " unknown")
        return "; ".join(parts)


def analyse(material: Material) -> Analysis:
    """Certificate first, then the grade's limits on the worse side, never a nominal value, a blank never zero.

    An element that the specification does not name at all is an unspecified residual and left out of the question;
    one that it names without a number stays unknown.
    """
    reported = {element: float(content) for element, content in material.composition}
    assumed: dict[str, float] = {}
    unknown: list[str] = []
    left_out: list[str] = []
    for element in HARDENING:
        if element in reported:
            continue
        limits = material.steel.limits.get(element)
        if limits is None:
            if element in _main_elements(material.steel):
                unknown.append(element)
        elif limits.max is None:
            unknown.append(element)
        elif limits.residual and reported:
            left_out.append(element)
        else:
            assumed[element] = limits.max
    return Analysis(reported, assumed, tuple(unknown), tuple(left_out))


def _main_elements(steel: Steel) -> tuple[str, ...]:
    """Elements that no steel is without, so that a specification's silence is a blank and not a zero."""
    return ("C", "Mn")
