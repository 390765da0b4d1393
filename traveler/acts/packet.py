"""Hand out a packet: all of a job in one file, with what it takes to check it elsewhere."""

import hashlib
import json
from dataclasses import dataclass

from traveler.acts.change import no_such_job, stream_of
from traveler.acts.kept_files import named_files
from traveler.acts.look import Paper, export
from traveler.errors import TravelerError
from traveler.record.chain import code
from traveler.record.shop import Shop
from traveler.report.packet import TRAVELER, Attached, manifest_of, packed


@dataclass(frozen=True, slots=True)
class Packet:
    """The zip, and the code to note somewhere else: 80 bits of the SHA-256 of its manifest."""

    content: bytes
    code: str


def packet(shop: Shop, number: str, paper: Paper | None = None, *, sheets: bool = True) -> Packet:
    """The packet of a job as it stands; writes no event, and the same state gives the same bytes.

    ``sheets``: with the PDF. Raises TravelerError where there is no such job, where its fonts cannot draw a character,
    and where an attachment is missing or was altered.
    """
    bodies = [event.body for event in shop.events(stream_of(number))]
    if not bodies:
        raise TravelerError(no_such_job(shop, number))
    exports = {
        TRAVELER: export(shop, number, "json"),
        "traveler.txt": export(shop, number, "text"),
        "readings.csv": export(shop, number, "csv"),
        "events.jsonl": "".join(f"{body}\n" for body in bodies).encode(),
    }
    if sheets:
        exports["traveler.pdf"] = export(shop, number, "pdf", paper)
    named = named_files(bodies, json.loads(exports[TRAVELER])["traveler"])
    attached = tuple(Attached(name, sha256, shop.attachment(sha256)) for sha256, name in named.items())
    content = packed(exports, attached)
    return Packet(content, code(hashlib.sha256(manifest_of(content)).digest()))
