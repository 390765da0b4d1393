"""The completed traveler as sheets of paper: PDF/A-3a on A4 or US Letter, the same bytes each time."""

import hashlib
from collections.abc import Mapping, Sequence
from typing import Any

from traveler.report.dossier import RECORD
from traveler.report.packet import Attached, file_name
from traveler.report.photos import picture_form
from traveler.report.sheets import sheets
from traveler.report.typeset import Paper, PictureFault, typeset
from traveler.report.words import Object, moment_words, person

__all__ = ["Paper", "export_pdf"]


def export_pdf(
    obj: Object,
    paper: Paper,
    record: bytes | None = None,
    files: Sequence[Attached] = (),
    life: Sequence[Object] | None = None,
) -> bytes:
    """The sheets of a stored job. Dated with its last event, never with the time of export.

    ``record`` is the JSON export and ``files`` what is kept with the job: both are attached to the PDF. Photos among
    the files are drawn, PNG or JPEG of moderate size; one that cannot be read as a picture is listed only. ``life``:
    the parts that the job made, by the shop's own record; None where nobody asked it.

    Raises TravelerError, naming the character and where it stands, when the fonts cannot draw it.
    """
    names = {file.sha256: f"{at}-{file_name(file.name)}" for at, file in enumerate(files, 1)}
    record_sha256 = None if record is None else hashlib.sha256(record).hexdigest()
    content = sheets(obj, names, record_sha256, life)
    content["embedded"] = (
        [{"name": RECORD, "mime": "application/json", "relation": "source"}] if record else []
    )
    content["embedded"] += [
        {"name": name, "mime": "application/octet-stream", "relation": "supplement"}
        for name in names.values()
    ]
    carried = {names[file.sha256]: file.content for file in files}
    if record is not None:
        carried[RECORD] = record
    try:
        return _typeset(obj, paper, content | {"photos": _photos(obj, names, carried)}, carried)
    except PictureFault:
        readable = [
            photo
            for photo in _photos(obj, names, carried)
            if _is_readable(obj, paper, content | {"photos": [photo], "steps": []}, carried)
        ]
        return _typeset(obj, paper, content | {"photos": readable}, carried)


def _typeset(obj: Object, paper: Paper, content: dict[str, Any], files: Mapping[str, bytes]) -> bytes:
    return typeset("traveler.typ", paper, content, obj["as_of"], files)


def _is_readable(obj: Object, paper: Paper, content: dict[str, Any], files: Mapping[str, bytes]) -> bool:
    try:
        _typeset(obj, paper, content, files)
    except PictureFault:
        return False
    return True


def _photos(obj: Object, names: Mapping[str, str], carried: Mapping[str, bytes]) -> list[dict[str, str]]:
    """File, form and words of each photograph that can be drawn; one attached twice is drawn once."""
    found = {}
    for entry in obj["attachments"]:
        name = names.get(entry["sha256"])
        if entry["as"] == "photo" and name is not None and (form := picture_form(carried[name])):
            words = f"{name}, step {entry['step']}; {person(entry['by'])}, {moment_words(entry)}"
            found[name] = {"name": name, "form": form, "words": words}
    return list(found.values())
