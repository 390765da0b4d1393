"""Put a backup in the place of the shop's file: who may, and as whom it stands in the record."""

from pathlib import Path

from traveler.acts.clock import Clock, written
from traveler.acts.entry import Refusal
from traveler.acts.register import by_in, register_of, shop_now
from traveler.acts.signing import Meant, signing
from traveler.errors import NotAllowed
from traveler.job.person import Person
from traveler.job.register_gate import RestoreShop, may_register
from traveler.record.backup import Restorer, restore
from traveler.record.secrets import Secret
from traveler.record.shop import Shop

MEANT = Meant("restore the shop's file")


def restore_shop(
    source: Path, target: Path, clock: Clock, person: Person, *, secret: Secret | None = None
) -> None:
    """Make ``target`` from the backup ``source``, which is verified first.

    Where people of the backup have secrets it takes that of an owner or an engineer, as they had it when the backup was
    made: the file that it replaces is gone, and nothing else can be asked. Raises NotAllowed where it is refused, and
    TravelerError where the backup cannot be used.
    """

    def by(copy: Shop) -> Restorer:
        signer = signing(copy, clock, person, secret, MEANT)
        if isinstance(signer, Refusal):
            raise _refused(signer.reasons)
        allowed = may_register(RestoreShop(), register_of(copy), signer.person)
        if not allowed.granted:
            raise _refused(allowed.reasons)
        return Restorer(by_in(copy, signer.person), signer.kept, written(shop_now(copy, clock)))

    restore(source, target, by, written(clock.now()))


def _refused(reasons: tuple[str, ...]) -> NotAllowed:
    return NotAllowed(f"nothing was restored: {'; '.join(reasons)}")
