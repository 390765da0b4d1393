"""Bench mode: one requirement after the other in the order of the work, by digits and Enter."""

from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass
from typing import Any

from textual.containers import VerticalScroll

from traveler.report.requirement_words import value_words
from traveler.tui.bench_wording import standing
from traveler.tui.entered import Told
from traveler.tui.screens.bench_questions import BenchQuestions
from traveler.tui.wording import requirement_key, requirement_name, step_name

Json = Mapping[str, Any]
KEPT = "not recorded; what you typed is kept and comes back"


@dataclass(frozen=True, slots=True)
class Offer:
    """Something else that can be done, by its digit, which is always the same."""

    digit: int
    words: str
    do: Callable[[], Awaitable[None]]


class Bench(BenchQuestions):
    """The step at the bench, and by digits what else there is: signing, correcting, heating again, the next step."""

    PURPOSE = (
        "One thing after the other for the welder at the bench: the limit, the last reading, "
        "and what is asked now. Digits and Enter only."
    )

    def what_else(self) -> list[tuple[int, str]]:
        """As ``BenchQuestions.what_else``."""
        return [(offer.digit, offer.words) for offer in self._offers()]

    def _offers(self) -> list[Offer]:
        return [offer for offer in self._all_offers() if offer is not None]

    def _all_offers(self) -> list[Offer | None]:
        look, requirement = self.look, self.requirement
        performed, accepted = bool(look.step["performed"]), look.step["state"] == "accepted"
        number = requirement is not None and requirement["type"] == "number"
        read = self._last_read
        following = next((s for s in look.traveler["steps"] if s["number"] == look.following), None)
        coming = look.requirement(look.at)
        return [
            None if accepted else Offer(1, "Sign as performed", self._perform),
            Offer(2, "Accept the step", self._accept) if performed and not look.step["blocked_by"] else None,
            Offer(3, f"On to step {step_name(following)}", self._next_step) if following else None,
            Offer(4, "Heat again: open another attempt", self._retry) if self.coming.retry else None,
            Offer(5, "Another instrument", self._choose_instrument) if number else None,
            Offer(6, "It was read some minutes ago", self._choose_minutes) if number else None,
            Offer(7, f"Go on: {requirement_name(look.step, coming)}", self._to_next)
            if coming is not None and self.at != look.at
            else None,
            Offer(8, "Somebody else is at the bench", self._choose_person) if self._who() else None,
            Offer(9, f"Correct the last reading: {value_words(standing(read)[-1])}", self._correct)
            if read
            else None,
            Offer(0, "Back to the value", self._back) if self._can_enter else None,
        ]

    @property
    def _can_enter(self) -> bool:
        """Whether there is a value to go back to."""
        return self.requirement is not None and not self.coming.retry

    @property
    def _last_read(self) -> Json | None:
        """The requirement that is shown, behind the last one the one that was read last; None where nothing stands."""
        here = self.requirement
        asked = [here] if here is not None else self.look.step["requirements"]
        read = [requirement for requirement in asked if standing(requirement)]
        return max(read, key=lambda requirement: standing(requirement)[-1]["reading"], default=None)

    async def take_else(self, typed: str) -> None:
        """As ``BenchQuestions.take_else``."""
        if not typed:
            await self._back()
            return
        offer = next((offer for offer in self._offers() if str(offer.digit) == typed), None)
        if offer is None:
            self.say(f"{typed[:20]} is not offered now", alarm=True)
            return
        await offer.do()

    async def _back(self) -> None:
        self.ask("value")

    async def _to_next(self) -> None:
        self.go_on()

    async def _choose_instrument(self) -> None:
        self.ask("instrument")

    async def _choose_minutes(self) -> None:
        self.ask("minutes")

    async def _choose_person(self) -> None:
        self.ask("person")

    async def _next_step(self) -> None:
        if self.look.following is not None:
            self.step_number = self.look.following
            if self.could_read():
                self.go_on()

    async def _perform(self) -> None:
        from traveler.tui.screens.sign import Perform

        await self.open_form(lambda: Perform(self.session, self.number, self.step_number), self._came_back)

    async def _accept(self) -> None:
        from traveler.tui.screens.sign import Accept

        await self.open_form(lambda: Accept(self.session, self.number, self.step_number), self._came_back)

    async def _retry(self) -> None:
        from traveler.tui.screens.bench_forms import BenchTryAgain

        if self.requirement is not None:
            form = BenchTryAgain(self.session, self.number, self.step_number, self.requirement)
            await self.app.push_screen(form, self._came_back)

    async def _correct(self) -> None:
        from traveler.tui.screens.bench_forms import BenchCorrect

        read = self._last_read
        if read is not None:
            units = self.look.traveler["units"]
            form = BenchCorrect(self.session, self.number, self.step_number, read, units)
            await self.app.push_screen(form, self._came_back)

    def _came_back(self, told: Told | None) -> None:
        """From a form: on to what comes next where it wrote."""
        if told is None:
            return
        self.say_told(told)
        if told.recorded and self.could_read():
            self.go_on()

    async def action_go(self, by: int) -> None:
        """To what is asked before or next; what is half typed or half asked comes first."""
        await self.keys_before()
        if self.entry.text or self.asked not in ("value", "else"):
            self.say("first Enter or Esc for what is typed", alarm=True)
            return
        keys = [requirement_key(r) for r in self.look.step["requirements"]]
        here = keys.index(self.at) if self.at in keys else len(keys)
        there = min(max(here + by, 0), len(keys))
        self.at = keys[there] if there < len(keys) else None
        self.get_ready()
        self.ask("value")

    def action_page(self, where: str) -> None:
        """Page through the readings."""
        rows = self.query_one("#bench-list", VerticalScroll)
        if where == "up":
            rows.scroll_page_up(animate=False)
        else:
            rows.scroll_page_down(animate=False)

    async def action_leave(self) -> None:
        """One question back; from the first one out of bench mode, keeping what was typed."""
        await self.keys_before()
        if self.asked in ("place", "minutes", "person") or (self.asked == "else" and self._can_enter):
            self._take_back()
            return
        self.keep_draft()
        self.dismiss(Told(False, True, KEPT) if self.draft_name in self.session.drafts else None)

    def _take_back(self) -> None:
        """To the value again, with what was typed of it."""
        typed, self.value, self.typed = self.typed, "", ""
        self.ask("value")
        self.entry.put(typed)
        self.keep_draft()
