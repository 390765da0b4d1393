"""The one door between the screens and everything else: the shop's file, the clock and the person at the keyboard."""

import os
from collections.abc import Mapping, Sequence
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING, Any

from traveler.acts.clock import Clock, when
from traveler.acts.register import known, register_of, shop_now, zone_of
from traveler.acts.reminder import backup_reminder
from traveler.acts.typed import printable
from traveler.errors import TravelerError
from traveler.job.person import Person
from traveler.record.log import job_stream
from traveler.record.secrets import Secret
from traveler.record.shop import Shop
from traveler.report.words import Object, stamp, visible
from traveler.tui.board_data import BoardData
from traveler.tui.drafts import Drafts
from traveler.tui.entered import FieldFault, Remark, Told, in_field, reason, said, told, whole_number
from traveler.tui.keyboard import Keyboard, at_keyboard
from traveler.tui.shop_for import shop_for
from traveler.tui.whose import from_vendor

if TYPE_CHECKING:
    from traveler.chart.model import Question
    from traveler.chart.model import Told as SaidOfFile
    from traveler.job.gate import Act
    from traveler.job.state import JobState
    from traveler.tui.bench_door import BenchDoor
    from traveler.tui.new_jobs import NewJobs
    from traveler.tui.papers import Papers
    from traveler.tui.registers import Registers
    from traveler.tui.signed_act import SignedAct

Json = Mapping[str, Any]


class Session:
    """Jobs as objects to show, and the acts of one person on one shop file.

    ``person`` is at the keyboard, by the name that was stated. ``drafts`` keeps what was typed into a form and not
    recorded, by the form's name; a secret is never in it.
    """

    def __init__(self, shop: Shop, clock: Clock, person: Person) -> None:
        self._shop = shop
        self._clock = clock
        self.person = person
        self.drafts = Drafts(clock)
        self._answers: dict[str, SaidOfFile] = {}
        self._without_routes: dict[tuple[str, int], str] = {}
        self._version = shop.data_version()
        self.trouble = ""

    @property
    def file_name(self) -> str:
        """Name of the shop's file, without its folder."""
        return self._shop.path.name

    @property
    def warning(self) -> str:
        """A sentence where the file is not the one that this account saw last; else empty."""
        return self._shop.warning

    @property
    def shop_name(self) -> str:
        """As the shop calls itself; the name of its file where it does not."""
        return register_of(self._shop).settings.get("shop name", self.file_name)

    @property
    def reminder(self) -> str:
        """A sentence where it is time for a backup; else empty."""
        return backup_reminder(self._shop, self._clock)

    def remarks(self) -> list[Remark]:
        """What is to be known of the file as long as it holds, the graver one first."""
        found = (
            Remark("not the file that was seen here last", self.warning),
            Remark("backup is due", self.reminder),
        )
        return [remark for remark in found if remark.sentence]

    @property
    def keyboard(self) -> Keyboard:
        """Who is at the keyboard, as the register has them now."""
        return at_keyboard(register_of(self._shop), self.person)

    @property
    def bench(self) -> "BenchDoor":
        """What bench mode looks at."""
        # Comes with bench mode, and nothing before it needs it.
        from traveler.tui.bench_door import BenchDoor

        return BenchDoor(self._shop, self._clock, self.keyboard)

    @cached_property
    def board(self) -> BoardData:
        """The board of jobs, in the view and with the words looked for that it was left with."""
        return BoardData(self._shop, self._clock)

    def now(self) -> datetime:
        """The present instant, in the shop's own time."""
        return shop_now(self._shop, self._clock)

    @property
    def new_jobs(self) -> "NewJobs":
        """What it takes to put a job together."""
        # Brings in the planning and the library, which nothing before this needs.
        from traveler.tui.new_jobs import NewJobs

        return NewJobs(self._shop, self._clock, self.drafts)

    def papers(self, number: str) -> "Papers":
        """What of a job is written as a file."""
        # Brings in the exports, which nothing before this needs.
        from traveler.tui.papers import Papers

        return Papers(self._shop, self._clock, number)

    def job(self, number: str) -> Object:
        """The traveler object of a job as it stands now; of each step what is asked for is made when it is."""
        # What is known and done about one job is loaded with the first that is opened: the board needs none of it.
        from traveler.acts.look import opened

        return opened(self._shop, self._clock, number)

    def _state(self, number: str) -> "JobState":
        from traveler.acts.change import load_job

        return load_job(self._shop, number)

    def changed(self) -> bool:
        """Whether another program has written to the shop's file since this was last asked.

        Afterwards ``trouble`` says what happened to the file so that nothing can be recorded any more.
        """
        self.trouble = self._shop.trouble()
        version = self._shop.data_version()
        changed = version != self._version
        self._version = version
        return changed

    def events(self, number: str) -> int:
        """How many events a job has by now."""
        return len(self._shop.events(job_stream(number)))

    def news(self, number: str, seen: int) -> str:
        """Who changed the job last and when, where it has more events than were ``seen``; else empty."""
        later = self._shop.events(job_stream(number), seen + 1)
        if not later:
            return ""
        event = later[-1].data
        at = datetime.fromisoformat(event["recorded_at"]).astimezone(self.now().tzinfo)
        return f"changed by {visible(event['by']['name'])} at {stamp(at.isoformat(timespec='seconds'))}"

    def in_question(self, number: str, step: int) -> list[int]:
        """Readings of a step that wait for an answer, by their numbers."""
        from traveler.job.questions import waits_for_answer

        state = self._state(number)
        return [
            reading.number
            for reading in state.readings
            if reading.key[0] == step and waits_for_answer(state, reading.number)
        ]

    def record(self, number: str, step: int, requirement: Json, typed: dict[str, str]) -> Told:
        """Record a reading from the fields value, place, instrument, run, whose and at. Raises FieldFault."""
        from traveler.acts.readings import NewReading, record_reading
        from traveler.tui.reading_words import told_reading

        in_field("at", lambda: when(typed.get("at"), self.now(), zone_of(self._shop)))
        entered = NewReading(
            step=step,
            quantity=requirement["quantity"],
            value=typed["value"],
            joint=requirement["joint"],
            place=in_field("place", lambda: printable(typed.get("place"), "place")),
            run=whole_number("run", typed.get("run", "")),
            instrument=in_field("instrument", lambda: self._instrument(typed.get("instrument"))),
            at=typed.get("at") or None,
            from_vendor=from_vendor(typed),
        )
        person = self._acting()
        outcome = in_field("value", lambda: record_reading(self._shop, self._clock, person, number, entered))
        return told_reading(outcome, "recorded")

    def instruments(self, requirement: Json) -> str:
        """With what a requirement is read, in words for the form."""
        from traveler.tui.reading_words import instruments_words

        return instruments_words(register_of(self._shop), requirement, self.now())

    def attach_chart(
        self, number: str, step: int, draft: str, typed: dict[str, str], pending: "Question | None"
    ) -> Told:
        """Read, judge and record the file of a chart from the fields of its form. Raises FieldFault, and Unclear.

        Answers to what the file leaves open are kept under the draft's name until it is recorded.
        """
        # Brings in the reader and the judge of charts, which nothing before this needs.
        from traveler.acts.charts import attach_chart
        from traveler.tui.chart_fields import new_chart

        noted = self._answers.get(draft)
        new, noted = new_chart(step, typed, self._shop.path, noted, pending)
        self._answers[draft] = noted
        answer = told(attach_chart(self._shop, self._clock, self._acting(), number, new))
        self._answers.pop(draft)
        return answer

    def attach_paper(self, number: str, step: int, typed: Mapping[str, str]) -> Told:
        """Keep a file with a step, from the fields file and role. Raises FieldFault."""
        from traveler.acts.chart_file import file_blocks
        from traveler.acts.readings import attach

        role = said(typed, "role", "choose one of them")
        path = typed["file"].strip()
        expected = "expected the file of a paper that came with the part"
        blocks = in_field("file", lambda: file_blocks(path, self._shop.path, expected))
        name = os.path.basename(path)
        return told(
            in_field(
                "file",
                lambda: attach(self._shop, self._clock, self._acting(), number, step, name, blocks(), role),
            )
        )

    def files_since_sent(self, number: str, step: int) -> list[Json]:
        """Name and SHA-256 of the files that were attached to a step since it was last sent to a vendor."""
        from traveler.acts.outside import files_since
        from traveler.job.outside import to_be_reviewed

        state = self._state(number)
        found = state.step(step)
        sending = None if found is None else to_be_reviewed(state, found)
        files = [] if sending is None else files_since(state, sending)
        return [{"name": file.name, "sha256": file.sha256} for file in files]

    def supersede(self, number: str, reading: int, typed: dict[str, str]) -> Told:
        """Correct the value or the instrument of an entry, or take it back where both fields are empty; the entry
        itself stays. Raises FieldFault.
        """
        from traveler.acts.readings import supersede
        from traveler.tui.reading_words import told_reading

        because = reason(typed)
        instrument = in_field("instrument", lambda: self._instrument(typed.get("instrument")))
        value, person = typed["value"].strip() or None, self._acting()
        outcome = in_field(
            "value",
            lambda: supersede(self._shop, self._clock, person, number, reading, value, because, instrument),
        )
        return told_reading(outcome, f"stands in place of reading {reading}")

    def correction_signed(self, number: str, reading: int) -> bool:
        """Whether correcting that reading takes a signature, since somebody signed over it and people have secrets."""
        from traveler.acts.readings import correction_signed

        return correction_signed(self._shop, self._state(number), reading) is not None

    def retry(self, number: str, step: int, requirement: Json, typed: dict[str, str]) -> Told:
        """Open another attempt of a preheat that was too cold. Raises FieldFault."""
        from traveler.acts.readings import retry

        because, person = reason(typed), self._acting()
        quantity, joint = requirement["quantity"], requirement["joint"]
        return told(retry(self._shop, self._clock, person, number, step, quantity, joint, because))

    @property
    def secrets_in_use(self) -> bool:
        """Whether a signature takes a secret here."""
        from traveler.job.register_gate import secrets_in_use

        return secrets_in_use(register_of(self._shop))

    def somebody(self, name: str) -> Person:
        """The person of that name or id as the register has them, or as stated where it does not know the name. Raises
        FieldFault.
        """
        stated = Person(said({"name": name}, "name", "say who: a name is needed"))
        return in_field("name", lambda: known(register_of(self._shop), stated))

    def signer(self, name: str) -> Person:
        """Who signs: in a shop with registered people one of them. Raises FieldFault.

        An unknown name is not tried and so not logged: it may be a secret that was typed into the wrong field.
        """
        person = self.somebody(name)
        if person.id is None and register_of(self._shop).people:
            raise FieldFault("name", "this name is not in the register of people, so it signs nothing")
        return person

    def secret_needed_of(self, person: Person) -> str:
        """ "Wanda Vance (P2)" where her secret is needed; empty where nobody has one, or she is refused anyway."""
        if not self.secrets_in_use or person.id is None:
            return ""
        if register_of(self._shop).person(person.id).disabled:
            return ""
        return f"{person.name} ({person.id})"

    def sign(
        self,
        number: str,
        act: "SignedAct",
        person: Person,
        typed: Mapping[str, str],
        content: str,
        secret: Secret | None = None,
    ) -> Told:
        """Sign an act on what was shown (``content``). Raises FieldFault.

        With a secret it takes half a second, so it may be called in another thread, for which the file is opened again.
        """
        # Comes with the first signature, and nothing before it needs it.
        from traveler.acts.signed_change import Signing

        with shop_for(self._shop, own_thread=secret is not None) as shop:
            return told(act.carry_out(Signing(shop, self._clock, person, number, content, secret), typed))

    def go_on_as(self, person: Person, secret: Secret | None = None) -> Told:
        """Let somebody go on at the keyboard, by their secret where people have secrets; as ``sign`` otherwise."""
        from traveler.acts.entry import Refusal
        from traveler.acts.signing import Meant, signing
        from traveler.job.register_gate import secrets_in_use

        with shop_for(self._shop, own_thread=secret is not None) as shop:
            if secrets_in_use(register_of(shop)):
                signer = signing(shop, self._clock, person, secret, Meant("go on at the keyboard"))
                if isinstance(signer, Refusal):
                    return Told(False, False, "the screen stays locked", signer.reasons)
        self.person = Person(person.name if person.id is None else person.id)
        return Told(True, True, f"{person.name} goes on")

    @property
    def idle_lock_s(self) -> float | None:
        """Seconds without a key after which the screen is locked; None for never."""
        minutes, *unit = register_of(self._shop).settings.get("idle lock", "never").split()
        return 60.0 * int(minutes) if unit else None

    @property
    def registers(self) -> "Registers":
        """People, instruments, lots, settings and nonconformances of the shop."""
        # Comes with the first look at a register, and nothing before it needs it.
        from traveler.tui.registers import Registers

        return Registers(self._shop, self._clock)

    def routes(self, traveler: Json, joint: str) -> Json:
        """The routes object of one joint, worked out now from the sheet of the job's present revision.

        Raises TravelerError; ``why_not_routes`` then says the same until the job is revised.
        """
        # Brings in the planning and the library, which nothing before this needs.
        from traveler.acts.routes import weigh_job_routes

        try:
            return weigh_job_routes(self._shop, traveler["job"], joint)
        except TravelerError as error:
            self._without_routes[traveler["job"], traveler["revision"]] = str(error)
            raise

    def why_not_routes(self, traveler: Json) -> str:
        """What is known to stand against weighing the routes of a job; empty where nothing is."""
        return self._without_routes.get((traveler.get("job", ""), traveler.get("revision", 0)), "")

    def why_not(self, number: str, acts: "Sequence[Act]") -> list[tuple[str, ...]]:
        """What stands against each of several acts on a job, whoever would do it; empty where it may be."""
        from traveler.job.gate import may

        state, now = self._state(number), self.now()
        return [may(act, state, None, now).reasons for act in acts]

    def why_not_person(self, number: str, act: "Act") -> tuple[str, ...]:
        """What stands against an act of the person at the keyboard beyond what stands against it anyway."""
        from traveler.job.gate import may

        state, now = self._state(number), self.now()
        anyway = may(act, state, None, now).reasons
        theirs = may(act, state, self.keyboard.person, now).reasons
        return tuple(against for against in theirs if against not in anyway)

    def _acting(self) -> Person:
        """Who records, as the register has them. Raises BadInput for a name that several bear."""
        return known(register_of(self._shop), self.person)

    def _instrument(self, text: str | None) -> str | None:
        """As typed. Raises BadInput where it may be one of several in the register."""
        typed = printable(text, "instrument")
        from traveler.acts.taken_with import instrument_meant

        instrument_meant(register_of(self._shop), typed)
        return typed
