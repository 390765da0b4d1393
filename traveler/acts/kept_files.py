"""The files that a job keeps: which they are, and those that its PDF carries."""

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from traveler.record.shop import Shop
from traveler.report.dossier import lot_file
from traveler.report.packet import Attached

MOST_BYTES = 16 << 20
"""Of all files in one PDF: a sheet of paper is sent by mail, and made on an old laptop. The packet has the rest."""


def files_in(value: Any) -> Iterator[tuple[str, str]]:
    """SHA-256 and name of every file that an act names, at any depth."""
    if isinstance(value, dict):
        if isinstance(value.get("sha256"), str) and "size" in value:
            yield value["sha256"], str(value.get("name") or "file")
        for inner in value.values():
            yield from files_in(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from files_in(inner)


def named_files(bodies: Iterable[str], traveler: Mapping[str, Any]) -> dict[str, str]:
    """Names by SHA-256 of the files that the events name and of the certificates of the lots that readings name."""
    named = dict(found for body in bodies for found in files_in(json.loads(body)["act"]))
    for lot in traveler["lots"]:
        if lot.get("sha256"):
            named.setdefault(lot["sha256"], lot_file(lot))
    return named


def carried_files(shop: Shop, bodies: Iterable[str], traveler: Mapping[str, Any]) -> tuple[Attached, ...]:
    """The job's files and the certificates of its lots that find room in the PDF, in the order of the record.

    Raises TravelerError where one is missing from the shop's file or was altered.
    """
    carried, room = [], MOST_BYTES
    for sha256, name in named_files(bodies, traveler).items():
        content = shop.attachment(sha256)
        if len(content) <= room:
            room -= len(content)
            carried.append(Attached(name, sha256, content))
    return tuple(carried)
