"""A new job page by page: which pages a sheet under way has, and what belongs to which of them. Pure."""

import re
from collections.abc import Iterable, Mapping
from typing import Literal, get_args

from traveler.job.sheet_joint import BEAD_ON_PLATE
from traveler.job.sheet_write import Entered, indices

PageKind = Literal["job", "material", "filler", "joint", "member", "dimension", "site"]

LONGEST_NUMBER = 15
_KINDS: Mapping[str, PageKind] = {kind: kind for kind in get_args(PageKind)}
_LAST_NUMBER = re.compile(r"(.*?)([0-9]+)(\D*)", re.DOTALL)
_ITEM = re.compile(r"(.*)\[([0-9]{1,6})\]")


def pages_of(entered: Entered) -> tuple[str, ...]:
    """The places of the pages in the order of the work: "job", "material[0]", "joint[0].member[1]", "site".

    There is a page at least for one material, one filler, and one joint with its two members (one for a bead on plate).
    """
    pages = ["job"]
    for name in ("material", "filler"):
        pages += [f"{name}[{index}]" for index in _at_least(entered, name, 1)]
    for index in _at_least(entered, "joint", 1):
        joint = f"joint[{index}]"
        least = 1 if entered.get(f"{joint}.type") == BEAD_ON_PLATE else 2
        members = _at_least(entered, f"{joint}.member", least)
        pages += [joint, *(f"{joint}.member[{member}]" for member in members)]
    pages += [f"dimension[{index}]" for index in indices(entered, "dimension")]
    return (*pages, "site")


def page_kind(page: str) -> PageKind:
    """What kind of page it is."""
    return _KINDS[_ITEM.sub(r"\1", page).rpartition(".")[2]]


def place_in_list(page: str) -> tuple[str, int]:
    """The list that the page is an entry of, and its index: "joint[0].member", 1. The job is ("job", 0)."""
    found = _ITEM.fullmatch(page)
    return (found[1], int(found[2])) if found else (page, 0)


def another(entered: Entered, name: str) -> str:
    """The page of one more entry of a list."""
    least = {"member": 2, "dimension": 0}.get(name.rpartition(".")[2], 1)
    return f"{name}[{len(_at_least(entered, name, least))}]"


def without(entered: Entered, page: str) -> dict[str, str]:
    """What was entered, an entry of a list taken out and those behind it moved up."""
    name, gone = place_in_list(page)
    left = {}
    for place, value in entered.items():
        found = re.match(rf"{re.escape(name)}\[([0-9]{{1,6}})\](.*)", place, re.DOTALL)
        index = int(found[1]) if found else -1
        if found is None or index < gone:
            left[place] = value
        elif index > gone:
            left[f"{name}[{index - 1}]{found[2]}"] = value
    return left


def renamed(entered: Entered, page: str, before: str, after: str) -> dict[str, str]:
    """What was entered; a joint that named the page's material or filler ``before`` names it ``after``."""
    key = {"material": "material", "filler": "filler"}.get(page_kind(page))
    if not key or not before or before == after:
        return dict(entered)
    return {
        place: after
        if value == before and place.startswith("joint[") and place.endswith(f".{key}")
        else value
        for place, value in entered.items()
    }


def faults_by_page(faults: Iterable[str], entered: Entered) -> dict[str, list[tuple[str, str]]]:
    """The reader's faults by page, each as the key of its field and what is wrong there.

    A fault of a table as a whole has an empty key and goes to its page, or to the last page of its list.
    """
    pages = pages_of(entered)
    found: dict[str, list[tuple[str, str]]] = {}
    for fault in faults:
        place, _, words = fault.partition(": ")
        page = _page_of(place, pages)
        rest = place[len(page) + 1 :] if place.startswith(f"{page}.") else ""
        key = re.split(r"[.\[]", rest)[0]
        found.setdefault(page, []).append((key, words) if key else ("", fault))
    return found


def proposed_number(numbers: Iterable[str]) -> str:
    """The number behind that of the first, which is the job last worked on, free among the rest; empty without one."""
    taken = list(numbers)
    found = _LAST_NUMBER.fullmatch(taken[0]) if taken else None
    if found is None or len(found[2]) > LONGEST_NUMBER:
        return ""
    front, digits, end = found.groups()
    same = re.compile(rf"{re.escape(front)}([0-9]{{1,{LONGEST_NUMBER}}}){re.escape(end)}")
    highest = max(int(match[1]) for number in taken if (match := same.fullmatch(number)))
    return f"{front}{highest + 1:0{len(digits)}d}{end}"


def proposed_id(entered: Entered, name: str, letter: str) -> str:
    """An id such as "J2" that no entry of the list has."""
    taken = {
        value for place, value in entered.items() if place.startswith(f"{name}[") and place.endswith("].id")
    }
    number = len(_at_least(entered, name, 0)) + 1
    while f"{letter}{number}" in taken:
        number += 1
    return f"{letter}{number}"


def ids(entered: Entered, name: str) -> tuple[str, ...]:
    """The ids of a list's entries, those that are empty left out."""
    found = (entered.get(f"{name}[{index}].id", "").strip() for index in indices(entered, name))
    return tuple(dict.fromkeys(filter(None, found)))


def _at_least(entered: Entered, name: str, least: int) -> range:
    return range(max([least, *(index + 1 for index in indices(entered, name))]))


def _page_of(place: str, pages: tuple[str, ...]) -> str:
    """The page a place is on; of a list as a whole its last one, of anything else the first."""
    exact = [page for page in pages if place == page or place.startswith(f"{page}.")]
    if exact:
        deepest = max(exact, key=len)
        whole_list = [page for page in pages if place_in_list(page)[0] == place]
        return whole_list[-1] if whole_list else deepest
    of_list = [page for page in pages if place_in_list(page)[0] == place]
    return of_list[-1] if of_list else pages[0]
