"""A packet: everything of a job in one zip, which somebody without this program can read and check."""

import hashlib
import io
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from importlib.resources import files

from traveler.errors import BadInput
from traveler.report.words import visible

MANIFEST = "MANIFEST.sha256"
TRAVELER = "traveler.json"
ATTACHMENTS = "attachments/"
LARGEST_BYTES = 1 << 30
"""Of all files of a packet together."""
DAMAGED = (zipfile.BadZipFile, zlib.error, EOFError, RuntimeError, ValueError)
"""What reading a zip raises: cut off, spoilt, locked with a password (a RuntimeError), or packed some other way."""
BESIDE = ("verify.py", "FORMAT.md")
LONGEST_NAME = 80
"""Letters of an attachment's name in the packet; unpacked, a longer one may fit no file system."""
_EPOCH = (1980, 1, 1, 0, 0, 0)
_READABLE_FILE = 0o100644 << 16


@dataclass(frozen=True, slots=True)
class Attached:
    """A file kept with the job: its name as it came, its SHA-256 in hex, its bytes."""

    name: str
    sha256: str
    content: bytes


def packed(exports: Mapping[str, bytes], attachments: tuple[Attached, ...]) -> bytes:
    """The zip: exports by their names, attachments, verifier, description of the format, and the manifest.

    The same input gives the same bytes: no time, no compression (which differs by the library), names in order.
    """
    parts = dict(exports)
    data = files("traveler.report") / "data" / "packet"
    parts |= {name: (data / name).read_bytes() for name in BESIDE}
    parts |= {
        f"{ATTACHMENTS}{attached.sha256}/{file_name(attached.name)}": attached.content
        for attached in attachments
    }
    parts[MANIFEST] = "".join(
        f"{hashlib.sha256(content).hexdigest()}  {name}\n" for name, content in sorted(parts.items())
    ).encode()
    packet = io.BytesIO()
    with zipfile.ZipFile(packet, "w", zipfile.ZIP_STORED) as archive:
        for name, content in sorted(parts.items()):
            entry = zipfile.ZipInfo(name, _EPOCH)
            entry.external_attr = _READABLE_FILE
            entry.create_system = 3
            archive.writestr(entry, content)
    return packet.getvalue()


def unpacked(packet: bytes) -> dict[str, bytes]:
    """The files of a packet by their names; raises BadInput for what is no zip, or not one of a packet."""
    try:
        with zipfile.ZipFile(io.BytesIO(packet)) as archive:
            entries = archive.infolist()
            if sum(entry.file_size for entry in entries) > LARGEST_BYTES:
                raise BadInput("this is no packet: it unpacks to more than one may hold")
            parts = {entry.filename: archive.read(entry) for entry in entries}
    except DAMAGED as error:
        raise BadInput(f"this is no packet: not a zip file, or a damaged one ({error})") from error
    if len(parts) != len(entries):
        raise BadInput("this is no packet: a file name stands in it twice")
    for name in (MANIFEST, TRAVELER):
        if name not in parts:
            raise BadInput(f"this is no packet: there is no {name} in it")
    return parts


def manifest_faults(parts: Mapping[str, bytes]) -> Iterator[str]:
    """Each file of a packet that does not have the SHA-256 of the manifest, is missing or is not listed there."""
    lines = parts[MANIFEST].decode("utf-8", "replace").splitlines()
    listed = {name: sha256 for sha256, _, name in (line.partition("  ") for line in lines)}
    for name in sorted({*listed, *parts} - {MANIFEST}):
        if name not in parts:
            yield f"{visible(name)} is listed in {MANIFEST} and missing"
        elif name not in listed:
            yield f"{visible(name)} is not listed in {MANIFEST}"
        elif hashlib.sha256(parts[name]).hexdigest() != listed[name]:
            yield f"{visible(name)} was altered: it does not have the SHA-256 of {MANIFEST}"


def attachment_faults(parts: Mapping[str, bytes], named: Iterable[str]) -> Iterator[str]:
    """Each attachment, by its SHA-256, that the events name and the packet lacks or has with another content."""
    there = {name.split("/")[1]: content for name, content in parts.items() if name.startswith(ATTACHMENTS)}
    for sha256 in sorted(set(named)):
        if sha256 not in there:
            yield f"the attachment {sha256} is missing from the packet"
        elif hashlib.sha256(there[sha256]).hexdigest() != sha256:
            yield f"the attachment {sha256} was altered"


def manifest_of(packet: bytes) -> bytes:
    """The manifest inside; the packet's code is made of it."""
    with zipfile.ZipFile(io.BytesIO(packet)) as archive:
        return archive.read(MANIFEST)


def file_name(name: str) -> str:
    """A name that stays in its folder and acts on nothing, wherever the packet is unpacked."""
    kept = "".join("_" if char in '/\\:*?"<>|' else char for char in visible(name))
    kept = kept.replace("..", "__").strip(" .")
    stem, dot, ending = kept.rpartition(".")
    if len(kept) <= LONGEST_NAME:
        return kept or "file"
    return (
        f"{stem[: LONGEST_NAME - len(ending) - 1]}{dot}{ending}"
        if dot and len(ending) < 10
        else kept[:LONGEST_NAME]
    )
