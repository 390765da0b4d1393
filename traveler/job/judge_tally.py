"""What the readings of a requirement come to, taken one after another, so that one more is looked at by itself."""

from dataclasses import dataclass, replace

from traveler.job.judge_reading import fault_of, folded
from traveler.job.requirement import Requirement
from traveler.job.state import Reading


@dataclass(frozen=True, slots=True)
class Tally:
    """Of standing readings, as judged: the first fault and the first doubt in words, how many show it and where.

    ``places`` that were named, of those that show it, and ``most_places`` that one of them speaks for; ``hidden``:
    those that are no evidence; ``conceded``: those that a nonconformance lets stand.
    """

    fault: str = ""
    doubt: str = ""
    showing: int = 0
    places: frozenset[str] = frozenset()
    most_places: int = 0
    hidden: tuple[Reading, ...] = ()
    conceded: tuple[Reading, ...] = ()

    def with_reading(self, requirement: Requirement, reading: Reading) -> "Tally":
        """With one more, as judged."""
        after = self._shown_by(reading) if reading.shows else replace(self, hidden=(*self.hidden, reading))
        if reading.conceded_by is not None:
            after = replace(after, conceded=(*after.conceded, reading))
        fault = "" if after.fault else fault_of(requirement, reading)
        return replace(after, fault=f"reading {reading.number}: {fault}") if fault else after

    def _shown_by(self, reading: Reading) -> "Tally":
        # A place that nobody named may be the same as another.
        named = {folded(reading.place)} if reading.place else set()
        doubtful = reading.given_verdict == "conditional" and reading.conceded_by is None
        doubt = f"reading {reading.number}: {reading.given_reason}" if doubtful else ""
        return replace(
            self,
            doubt=self.doubt or doubt,
            showing=self.showing + 1,
            places=self.places if named <= self.places else self.places | named,
            most_places=max(self.most_places, reading.places),
        )
