"""A field that takes a name out of many: a part of it is typed, and of those that fit one is taken by its digit."""

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widget import Widget
from textual.widgets import Static

from traveler.report.words import count_words
from traveler.tui.new_jobs import Offer, fitting
from traveler.tui.widgets.field import Choices, TextField

MOST_OFFERED = 9
"""As many as there are digits."""


class Offers(Choices):
    """The offers that fit, beneath the line; empty and out of sight until Enter asks for them."""

    def offer(self, options: Sequence[str]) -> None:
        """Put these up, none of them taken yet."""
        self.options = tuple(options)
        self.chosen = None
        self._draw()
        self.set_class(bool(options), "-offered")


class OfferField(TextField):
    """``offers`` is everything there is. Without ``needed`` an empty line is gone on from as it is."""

    def __init__(
        self,
        key: str,
        label: str,
        hint: str,
        offers: Sequence[Offer],
        value: str = "",
        *,
        needed: bool = True,
    ) -> None:
        super().__init__(key, label, hint, value)
        self.offers = offers
        self.needed = needed
        self._offered: Sequence[Offer] = ()
        self._list = Offers(())

    def compose(self) -> ComposeResult:
        """As ``Field.compose``, the offers between line and fault."""
        with Horizontal():
            yield Static(self.label, classes="label", markup=False)
            yield from self.compose_entry()
        yield self._list
        yield Static("", classes="fault", markup=False)

    def settle(self) -> str:
        """Take what is typed where it names one thing; else put up what fits and say what to do. Empty: go on."""
        if self._offered:
            return self._settle_on_taken()
        if not self.value.strip() and not self.needed:
            return ""
        fits = fitting(self.offers, self.value)
        if len(fits) == 1:
            self.put(fits[0].value)
        if len(fits) < 2:
            return ""
        self.fault("")
        self._offered = fits[:MOST_OFFERED]
        self._list.offer([_words(offer) for offer in self._offered])
        more = len(fits) - len(self._offered)
        return f"take one by its digit, then Enter{f'; {more} more fit: Shift+Tab and type more' if more else ''}"

    def _settle_on_taken(self) -> str:
        taken = self._list.chosen
        if taken is None:
            return f"take one of {count_words(len(self._offered), 'line')} by its digit, or Shift+Tab and type more"
        self.close()
        return ""

    def close(self) -> None:
        """Take what is chosen, and put the offers away: what is typed next may fit something else."""
        if self._offered:
            chosen, self._offered = self.value, ()
            self.put(chosen)
            self._list.offer(())

    @property
    def value(self) -> str:
        """What is taken from the list, else what was typed."""
        taken = self._list.chosen if self._offered else None
        return super().value if taken is None else self._offered[taken].value

    @property
    def offer_list(self) -> Widget:
        """The offers, which take the focus while they are up."""
        return self._list


def _words(offer: Offer) -> str:
    return f"{offer.value}: {offer.words}" if offer.words else offer.value
