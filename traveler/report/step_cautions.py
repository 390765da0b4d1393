"""The cautions of a job beside the steps they belong to."""

from functools import cache

from traveler.library.reading import read_data
from traveler.library.rules import read_cautions
from traveler.report.words import Object, visible

_HEATED = frozenset({"preheat", "weld", "hydrogen release", "stress relief"})
_ARC = frozenset({"fit", "weld"})  # fitting tacks
_BELONGS_TO = {
    "hot metal": _HEATED,
    "fume": _ARC,
    "coatings": _ARC | {"preheat"},
    "chlorinated solvent": _ARC,
    "fire watch": _ARC | {"preheat"},
    "closed hollow parts": _HEATED,
}
"""Kinds of step by the name of a caution in the library; what stands nowhere here belongs to the whole job."""


def cautions_of(obj: Object, step: Object) -> list[str]:
    """The cautions that belong to a step: by its kind, and those that name one of its joints.

    An older traveler whose cautions read otherwise than the library's has them in its list alone.
    """
    kinds = _kinds_by_text()
    joints = tuple(f"{joint}: " for joint in step["joints"]) if step["kind"] == "weld" else ()
    return [
        visible(text)
        for text in obj["cautions"]
        if step["kind"] in kinds.get(text, ()) or (joints and text.startswith(joints))
    ]


@cache
def _kinds_by_text() -> dict[str, frozenset[str]]:
    texts = read_cautions(read_data("cautions.toml"))
    return {texts[name]: kinds for name, kinds in _BELONGS_TO.items()}
