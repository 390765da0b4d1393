"""What it takes to put a new job together: what the library and the shop offer, the sheet, its plan and its release."""

from collections.abc import Iterable, MutableMapping
from dataclasses import dataclass
from typing import Any

from traveler.acts.again import compare_jobs, compare_with_job, make_again
from traveler.acts.change import load_job
from traveler.acts.clock import Clock
from traveler.acts.issue import issue, number_taken
from traveler.acts.planning import plan_sheet
from traveler.acts.register import register_of
from traveler.acts.routes import current_sheet
from traveler.acts.sheet_file import save_sheet, sheet_faults
from traveler.errors import TravelerError
from traveler.job.again import OF_ONE_JOB, Asked
from traveler.job.as_built import as_built
from traveler.job.board_row import BoardRow
from traveler.job.person import Person, plain_name
from traveler.job.register import Lot
from traveler.job.sheet_entered import entered_of
from traveler.job.sheet_pages import faults_by_page, page_kind, pages_of, place_in_list, proposed_number
from traveler.job.sheet_toml import parse_toml
from traveler.job.sheet_write import Entered, indices, write_sheet
from traveler.job.view import plan_object
from traveler.library.load import load_library
from traveler.record.secrets import Secret
from traveler.record.shop import Shop
from traveler.report.words import Object, visible
from traveler.tui.entered import Told, told
from traveler.tui.shop_for import shop_for

Json = dict[str, Any]
Drafts = MutableMapping[str, dict[str, str]]

DRAFT = "new job"
AT = "at"
"""The key in the draft of the page that was open last; no place of a sheet."""
SAME = "same"
"""The key of the ids of metals and fillers of the same heat or lot as in the job made again; no place either."""


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

    def proposed_number(self) -> str:
        """The next number behind that of the job last worked on."""
        return proposed_number(job.number for job in self._shop.board())

    def again(self, number: str, asked: Asked) -> dict[str, str]:
        """What the sheet of job ``number`` says once more, for the pages. Raises as ``make_again`` does."""
        made = entered_of(parse_toml(make_again(self._shop, number, asked).text))
        return {**made, SAME: "\n".join(asked.same_heat)}

    def asked_again(self, number: str) -> Json:
        """What can be said beforehand: ``materials`` and ``fillers`` by id with their heat or lot, and ``dimensions``
        that were measured, each with its nominal and measured size.
        """
        before, found = self.before(number), as_built(load_job(self._shop, number))
        return {
            "materials": _of_lots(before, "material", "heat_number"),
            "fillers": _of_lots(before, "filler", "lot"),
            "dimensions": [
                {"id": id_, "nominal": before.get(f"{place}.nominal", ""), "measured": found[id_].typed}
                for place, id_ in _named_places(before, "dimension")
                if id_ in found
            ],
        }

    def before(self, number: str) -> dict[str, str]:
        """What stands on the sheet of job ``number``, as if it had been entered. Raises TravelerError."""
        return entered_of(parse_toml(current_sheet(self._shop, number)))

    def as_before(self, entered: Entered, page: str) -> dict[str, str]:
        """What the job that is made again has at the place of a page, by key; empty where it has no such entry."""
        number = entered.get("job.made_from", "").strip()
        if not number or not self._shop.has_job(number):
            return {}
        before = self.before(number)
        place = _same_place(entered, page, before)
        return {
            key.removeprefix(f"{place}."): value
            for key, value in before.items()
            if place and key.rpartition(".")[0] == place
        }

    def page_again(self, entered: Entered, page: str) -> str:
        """The next page behind ``page`` of a metal or filler of another heat or lot than in the job made again; empty:
        none. One of which the old sheet says neither is asked for too: the new one may say it.
        """
        same = entered.get(SAME, "").split("\n")
        pages = [place for place in pages_of(entered) if page_kind(place) in OF_ONE_JOB]
        behind = pages[pages.index(page) + 1 :] if page in pages else pages
        return next((place for place in behind if entered.get(f"{place}.id", "") not in same), "")

    def compared(self, number: str, text: str) -> Json:
        """The comparison object of a sheet beside job ``number``. Raises TravelerError."""
        return compare_with_job(self._shop, number, text.encode("utf-8"))

    def compared_jobs(self, done: str, number: str) -> Json:
        """The same of the sheet of job ``number`` beside job ``done``."""
        return compare_jobs(self._shop, done, number)

    def other_jobs(self, traveler: Object) -> list[Offer]:
        """Jobs to lay one beside: the one it was made from, those of the same part, then those worked on last."""
        made_from = (traveler["made_from"] or {}).get("job")
        rows = [row for row in self._shop.board() if row.number != traveler["job"]]
        same = plain_name(traveler["part"] or traveler["title"])

        def far(row: BoardRow) -> int:
            if row.number == made_from:
                return 0
            return 1 if plain_name(row.part or row.title) == same else 2

        return [Offer(row.number, row.title) for row in sorted(rows, key=far)]

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


def _named_places(entered: Entered, name: str) -> list[tuple[str, str]]:
    places = [f"{name}[{index}]" for index in indices(entered, name)]
    return [(place, entered.get(f"{place}.id", "").strip()) for place in places]


def _of_lots(entered: Entered, name: str, key: str) -> list[Json]:
    return [
        {"id": id_, "of": entered.get(f"{place}.{key}", "")} for place, id_ in _named_places(entered, name)
    ]


def _same_place(entered: Entered, page: str, before: Entered) -> str:
    """The place of the same entry in another sheet: by its id, of a member by its joint and its number."""
    name, at = place_in_list(page)
    if page_kind(page) in ("job", "site"):
        return page
    if page_kind(page) == "member":
        joint = _same_place(entered, name.rpartition(".")[0], before)
        return f"{joint}.member[{at}]" if joint else ""
    id_ = entered.get(f"{page}.id", "").strip()
    return next((place for place, other in _named_places(before, name) if other == id_ != ""), "")


def _named(what: str, text: str | None) -> str:
    return f"{what} {text}" if text else ""
