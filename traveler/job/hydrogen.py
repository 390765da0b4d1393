"""Diffusible hydrogen of a joint: stated on the sheet, else assumed for the filler or the process."""

from dataclasses import dataclass
from fractions import Fraction

from traveler.job.sheet import Joint


@dataclass(frozen=True, slots=True)
class Hydrogen:
    """``ml_100g``: ml in 100 g of deposited metal by ISO 3690; ``assumed_for`` names what it was assumed for."""

    ml_100g: Fraction
    assumed_for: str | None

    def words(self) -> str:
        """For the head of the traveler."""
        amount = f"{float(self.ml_100g):g} ml/100 g"
        return f"{amount}, assumed for {self.assumed_for}" if self.assumed_for else f"at most {amount}"


def hydrogen_of(joint: Joint) -> Hydrogen:
    """The class on the sheet where there is one, else the figure of the filler, else that of the process."""
    filler = joint.filler
    if filler.hydrogen_ml_100g is not None:
        return Hydrogen(filler.hydrogen_ml_100g, None)
    if filler.filler.hydrogen_ml_100g is not None:
        return Hydrogen(filler.filler.hydrogen_ml_100g, filler.filler.classification)
    return Hydrogen(joint.process.hydrogen_ml_100g, f"process {joint.process.number}")
