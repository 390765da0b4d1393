"""What it takes to put a new job together: what the library and the shop offer, the sheet, its plan and its release."""

from collections.abc import Iterable, MutableMapping
from dataclasses import dataclass
from typing import Any

from traveler.acts.change import load_job
from traveler.acts.clock import Clock
from traveler.acts.issue import issue, number_taken
from traveler.acts.planning import plan_sheet
from traveler.acts.register import register_of
from traveler.acts.sheet_file import save_sheet, sheet_faults
from traveler.errors import TravelerError
from traveler.job.person import Person
from traveler.job.register import Lot
from traveler.job.sheet_pages import faults_by_page, proposed_number
from traveler.job.sheet_write import Entered, write_sheet
from traveler.job.view import plan_object
from traveler.library.load import load_library
from traveler.record.secrets import Secret
from traveler.record.shop import Shop
from traveler.report.words import visible
from traveler.tui.entered import Told, told
from traveler.tui.shop_for import shop_for

Json = dict[str, Any]
Drafts = MutableMapping[str, dict[str, str]]

DRAFT = "new job"
AT = "at"
"""The key in the draft of the page that was open last; no place of a sheet."""


@dataclass(frozen=True, slots=True)
class Offer:
    """Something to be taken: ``value`` is what the sheet says, ``words`` describe it, ``names`` are its other names."""

    value: str
    words: str = ""
    names: tuple[str, ...] = ()


class NewJobs:
    """Sheets under way and their release. ``drafts`` is where what is entered waits until the job is issued."""

    def __init__(self, shop: Shop, clock: Clock, drafts: Drafts) -> None:
        self._shop = shop
        self._clock = clock
        self._drafts = drafts

    @property
    def begun(self) -> dict[str, str]:
        """What was entered for a job that is not issued yet, by place, with the page under ``AT``; else empty."""
        return dict(self._drafts.get(DRAFT) or {})

    def keep(self, entered: Entered, page: str) -> None:
        """Keep what was entered up to now."""
        kept = {**entered, AT: page}
        if kept != self._drafts.get(DRAFT):
            self._drafts[DRAFT] = kept

    def forget(self) -> None:
        """Nothing is under way any more."""
        self._drafts.pop(DRAFT, None)

    def proposed(self) -> dict[str, str]:
        """The first page as the job last worked on has it: the next number, its units and who decides."""
        jobs = self._shop.board()
        number = proposed_number(job.number for job in jobs)
        if not jobs:
            return {}
        try:
            plan = load_job(self._shop, jobs[0].number).plan
        except TravelerError:
            return {"job.number": number}
        return {"job.number": number, "job.units": plan.units, "job.decides": plan.decides}

    def faults(self, entered: Entered) -> dict[str, list[tuple[str, str]]]:
        """What the reader of sheets finds wrong, by page as key and sentence; and a number that is taken."""
        found = faults_by_page(sheet_faults(write_sheet(entered)), entered)
        number = entered.get("job.number", "").strip()
        if number and self._shop.has_job(number):
            found.setdefault("job", []).insert(0, ("number", number_taken(number)))
        return found

    def plan(self, text: str) -> Json:
        """The plan of a sheet as it would be issued. Raises BadSheet."""
        return plan_object(plan_sheet(text.encode("utf-8")))

    def issue(self, person: Person, text: str, secret: Secret | None) -> Told:
        """Release revision 1 of the job of this sheet; with a secret it may be called in another thread."""
        with shop_for(self._shop, own_thread=secret is not None) as shop:
            return told(issue(shop, self._clock, person, text.encode("utf-8"), secret=secret))

    def save(self, file: str, text: str) -> Told:
        """Save a sheet as a new file. Raises BadInput for a name that cannot be used."""
        return Told(True, True, f"the sheet is saved as {visible(str(save_sheet(file, text)))}")

    def lot(self, what: str, id_: str) -> Lot | None:
        """A lot of "material" or "filler" by its id."""
        return next((lot for lot in self._lots(what) if lot.id == id_), None)

    def lots(self, what: str) -> list[Offer]:
        """The shop's lots of "material" or "filler", the one that came last first."""
        return [
            Offer(lot.id, ", ".join(filter(None, (lot.name, _named("heat", lot.heat)))), (lot.heat or "",))
            for lot in reversed(self._lots(what))
        ]

    def grades(self) -> list[Offer]:
        """The library's grades with their specifications."""
        library = load_library()
        steels = (library.steels[name.casefold()] for name in library.names())
        return [Offer(steel.name, steel.spec, steel.aliases) for steel in steels]

    def classifications(self) -> list[Offer]:
        """The library's fillers."""
        library = load_library()
        fillers = (library.fillers[name.casefold()] for name in library.classifications())
        return [Offer(filler.classification, filler.kind, filler.aliases) for filler in fillers]

    def processes(self) -> list[Offer]:
        """Welding processes by their ISO 4063 numbers."""
        return [Offer(process.number, process.name) for process in load_library().processes.values()]

    def profiles(self) -> list[Offer]:
        """Rule profiles of stress relief."""
        return [Offer(name) for name in load_library().profiles]

    def _lots(self, what: str) -> list[Lot]:
        return [lot for lot in register_of(self._shop).lots if lot.what == what]


def fitting(offers: Iterable[Offer], typed: str) -> list[Offer]:
    """The offers that have ``typed`` in a name or in their words; one alone where it is the very name of it."""
    offers, wanted = list(offers), typed.strip().casefold()
    exact = [
        offer
        for offer in offers
        if wanted in (offer.value.casefold(), *(name.casefold() for name in offer.names))
    ]
    if wanted and exact:
        return exact[:1]
    return [
        offer
        for offer in offers
        if any(wanted in text.casefold() for text in (offer.value, offer.words, *offer.names))
    ]


def _named(what: str, text: str | None) -> str:
    return f"{what} {text}" if text else ""
