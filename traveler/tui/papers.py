"""What of a job is written as a file: the traveler in its forms, and paper for the shop. Writes no event."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from traveler.acts.clock import Clock
from traveler.acts.look import Format, Paper, export
from traveler.acts.sheet_file import save_new
from traveler.errors import BadInput
from traveler.record.shop import Shop
from traveler.report.shop_paper import Kind
from traveler.report.words import visible
from traveler.tui.entered import FieldFault, Told, in_field, said, said_or_none, whole_numbers
from traveler.tui.shop_for import shop_for

Typed = Mapping[str, str]
Content = tuple[bytes, str]
"""What is written, and what is to be known of it."""

FORMS: Mapping[str, tuple[Format, str]] = {
    "traveler, PDF": ("pdf", ".pdf"),
    "traveler, text": ("text", ".txt"),
    "traveler, Markdown": ("markdown", ".md"),
    "traveler, JSON": ("json", ".json"),
    "readings, CSV": ("csv", ".csv"),
}
PACKET = "packet: all of it, with a verifier"
PACKED = ".zip"
FOR_THE_SHOP: Mapping[str, tuple[Kind, str]] = {
    "blank traveler, PDF": ("blank", "-blank.pdf"),
    "tag for a hot part, PDF": ("tag", "-tag.pdf"),
    "label for the part, PDF": ("label", "-label.pdf"),
}
WHICH = (*FORMS, PACKET, *FOR_THE_SHOP)
USUAL, SHEETS = "as the shop has it", ("a4", "letter")
ONLY = {"steps": ("blank", "a blank traveler"), "temperature": ("tag", "a tag"), "time": ("tag", "a tag")}
"""Fields that belong to one kind of paper alone."""


@dataclass(frozen=True, slots=True)
class Papers:
    """Those of one job, from its record as it stands."""

    shop: Shop
    clock: Clock
    number: str

    def name(self, which: str) -> str:
        """The name that is taken where none is said."""
        ending = PACKED if which == PACKET else (FORMS.get(which) or FOR_THE_SHOP[which])[1]
        return re.sub(r"[^\w.-]+", "-", self.number).strip("-.") + ending

    def write(self, typed: Typed) -> Told:
        """Write what was chosen to a new file; it may be called in another thread. Raises FieldFault."""
        which = said(typed, "which", "choose what is written")
        make = self._maker(which, typed)
        with shop_for(self.shop, own_thread=True) as shop:
            content, remark = make(shop)
        file = typed["file"].strip() or self.name(which)
        path = in_field("file", lambda: save_new(file, content, self.name(which)))
        size = f"{len(content):,}".replace(",", " ")
        return Told(True, True, f"written: {visible(str(path))}, {size} bytes{remark}")

    def _maker(self, which: str, typed: Typed) -> Callable[[Shop], Content]:
        sheets: Paper | None = next((paper for paper in ("a4", "letter") if paper == typed["sheets"]), None)
        kind = FOR_THE_SHOP[which][0] if which in FOR_THE_SHOP else ""
        for field, (only, words) in ONLY.items():
            if typed[field].strip() and kind != only:
                raise FieldFault(field, f"this belongs to {words}; leave it empty")
        if sheets is not None and which in FORMS and FORMS[which][0] != "pdf":
            raise FieldFault("sheets", "this belongs to what is printed; leave it as the shop has it")
        if which in FORMS:
            form = FORMS[which][0]
            return lambda shop: (export(shop, self.number, form, sheets), "")
        if which == PACKET:
            return lambda shop: self._packet(shop, sheets)
        return lambda shop: (self._for_the_shop(shop, which, typed, sheets), "")

    def _packet(self, shop: Shop, sheets: Paper | None) -> Content:
        from traveler.acts.packet import packet

        made = packet(shop, self.number, sheets)
        return made.content, f"; its code, to note somewhere else: {made.code}"

    def _for_the_shop(self, shop: Shop, which: str, typed: Typed, sheets: Paper | None) -> bytes:
        from traveler.acts.paper import Wanted, shop_paper

        steps = whole_numbers("steps", typed["steps"])
        temperature, time = said_or_none(typed, "temperature"), said_or_none(typed, "time")
        wanted = Wanted(FOR_THE_SHOP[which][0], sheets, steps, temperature, time)
        field = "steps" if steps else "temperature" if temperature else "time"
        try:
            return shop_paper(shop, self.clock, self.number, wanted)
        except BadInput as error:
            raise FieldFault(field, re.sub("^--(step |[a-z]+: )", "", str(error))) from error
