"""What differs between two sheets, input by input, and the sheet in between with only some of it changed."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from traveler.job.sheet_rewrite import toml_value

Root = dict[str, Any]
Table = dict[str, Any]

OF_THE_JOB_ALONE = ("number", "title", "part", "made_from", "quantity", "serials")
"""Keys of ``[job]`` that no limit depends on."""
IN_WORDS_ALONE = ("id", "as_built")
BY_ID = ("material", "filler", "joint", "dimension")
TOGETHER = (("condition", "tempered_at"), ("arc_energy", "volts", "amps", "travel"))
"""Keys that say one thing: with one of the old sheet and one of the new they would contradict each other."""
NOT_GIVEN = "not given"
WORST = "what no certificate shows counts as the worst of the grade"
ELEMENTS = {
    "C": "carbon", "Si": "silicon", "Mn": "manganese", "Cr": "chromium", "Mo": "molybdenum", "Ni": "nickel",
    "Cu": "copper", "V": "vanadium", "Nb": "niobium", "Ti": "titanium", "Al": "aluminium", "B": "boron",
    "N": "nitrogen", "P": "phosphorus", "S": "sulphur", "W": "tungsten", "Co": "cobalt", "Zr": "zirconium",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Input:
    """One thing that the new sheet says otherwise: ``what`` in words, ``was`` and ``now`` as typed.

    ``change`` makes that one change to the tables of the old sheet. Of an element ``of`` is the metal and ``heats``
    the two heats in words, empty where they are not known or the same. ``remark``: what follows from it.
    """

    what: str
    was: str
    now: str
    change: Callable[[Root], None]
    element: str = ""
    of: str = ""
    heats: str = ""
    remark: str = ""

    @property
    def words(self) -> str:
        """ "the carbon of bracket is 0.33 %, was 0.29 %"."""
        return f"{self.what} is {self.now}, was {self.was}"


def inputs_between(old: Root, new: Root) -> tuple[Input, ...]:
    """Everything that differs, the finest pieces that can be changed one by one, in the order of the sheet."""
    found = [*_of_table("job", old, new, OF_THE_JOB_ALONE)]
    for name in BY_ID:
        found += _of_tables(name, old, new)
    found += _whole_key("site", "the place of the welding (site)", old, new)
    found += _whole_key("step", "the list of steps", old, new)
    return tuple(found)


def between(old: Root, new: Root, inputs: Collection[Input], chosen: Collection[Input]) -> Root:
    """The old sheet with the ``chosen`` of all ``inputs`` changed; with all of them it is the new one."""
    if len(chosen) == len(inputs):
        return new
    root = deepcopy(old)
    for item in inputs:
        if item in chosen:
            item.change(root)
    return root


def _of_tables(name: str, old: Root, new: Root) -> Iterator[Input]:
    before = {table["id"]: table for table in old.get(name, ())}
    after = {table["id"]: table for table in new.get(name, ())}
    for id_ in dict.fromkeys((*before, *after)):
        if id_ in before and id_ in after:
            yield from _of_one(name, id_, before[id_], after[id_])
        else:
            yield _whole_table(name, id_, before.get(id_), after.get(id_))
    common = [id_ for id_ in before if id_ in after]
    moved = [id_ for id_ in after if id_ in before]
    if common != moved:
        yield Input(
            f"the order of the tables {name}", ", ".join(common), ", ".join(moved), _ordered(name, moved)
        )


def _of_one(name: str, id_: str, before: Table, after: Table) -> Iterator[Input]:
    left = [key for key in dict.fromkeys((*before, *after)) if key not in IN_WORDS_ALONE]
    if name == "material" and ("composition" in before or "composition" in after):
        yield from _analysis(id_, before, after)
        left = [key for key in left if key not in ("composition", "certificate")]
    if name == "joint" and len(before["member"]) == len(after["member"]):
        yield from _members(id_, before, after)
        left.remove("member")
    for keys in _grouped(left):
        if _written(before, keys) != _written(after, keys):
            words = f"the {_label(keys)} of {id_}"
            yield Input(words, _said(before, keys), _said(after, keys), _setting(name, id_, keys, after))


def _analysis(id_: str, before: Table, after: Table) -> Iterator[Input]:
    """Element by element where both report one; else the analysis as a whole, with the certificate that proves it."""
    if "composition" not in before or "composition" not in after:
        keys = ("composition", "certificate")
        if _written(before, keys) != _written(after, keys):
            change = _setting("material", id_, keys, after)
            remark = "" if "composition" in after else WORST
            was, now = _said(before, keys), _said(after, keys)
            yield Input(
                f"the analysis of {id_}", was, now, change, heats=_heats(before, after), remark=remark
            )
        return
    if _written(before, ("certificate",)) != _written(after, ("certificate",)):
        change = _setting("material", id_, ("certificate",), after)
        yield Input(
            f"the certificate of {id_}",
            _said(before, ("certificate",)),
            _said(after, ("certificate",)),
            change,
            remark="" if after.get("certificate", "none") != "none" else WORST,
        )
    was, now = before["composition"], after["composition"]
    for element in dict.fromkeys((*was, *now)):
        if _written(was, (element,)) != _written(now, (element,)):
            name = ELEMENTS.get(element, element)
            change = _element(id_, element, now.get(element))
            yield Input(
                f"the {name} of {id_}",
                _percent(was.get(element)),
                _percent(now.get(element)),
                change,
                name,
                id_,
                _heats(before, after),
            )


def _heats(before: Table, after: Table) -> str:
    """ "heat H9001, was H201"."""
    was, now = before.get("heat_number"), after.get("heat_number")
    return f"heat {now}, was {was}" if was and now and was != now else ""


def _members(id_: str, before: Table, after: Table) -> Iterator[Input]:
    for place, (was, now) in enumerate(zip(before["member"], after["member"], strict=True)):
        for key in dict.fromkeys((*was, *now)):
            if _written(was, (key,)) != _written(now, (key,)):
                words = f"the {key} of member {place + 1} of {id_}"
                change = _member(id_, place, key, now)
                yield Input(words, _said(was, (key,)), _said(now, (key,)), change)


def _of_table(name: str, old: Root, new: Root, left_out: Collection[str]) -> Iterator[Input]:
    before, after = old[name], new[name]
    for key in dict.fromkeys((*before, *after)):
        if key not in left_out and _written(before, (key,)) != _written(after, (key,)):
            words = f'"{_label((key,))}" of the sheet'
            yield Input(
                words, _said(before, (key,)), _said(after, (key,)), _setting(name, None, (key,), after)
            )


def _whole_key(name: str, what: str, old: Root, new: Root) -> Iterator[Input]:
    if _written(old, (name,)) != _written(new, (name,)):
        yield Input(what, _said(old, (name,)), _said(new, (name,)), lambda root: _put(root, (name,), new))


def _whole_table(name: str, id_: str, before: Table | None, after: Table | None) -> Input:
    def change(root: Root) -> None:
        tables = [table for table in root.get(name, ()) if table["id"] != id_]
        root[name] = tables if after is None else [*tables, deepcopy(after)]

    was, now = ("on the sheet" if table else "not on the sheet" for table in (before, after))
    return Input(f"{name} {id_}", was, now, change)


def _setting(name: str, id_: str | None, keys: Iterable[str], after: Table) -> Callable[[Root], None]:
    return lambda root: _put(_found(root, name, id_), keys, after)


def _element(id_: str, element: str, percent: Any) -> Callable[[Root], None]:
    given = {} if percent is None else {element: percent}
    return lambda root: _put(_found(root, "material", id_)["composition"], (element,), given)


def _member(id_: str, place: int, key: str, after: Table) -> Callable[[Root], None]:
    return lambda root: _put(_found(root, "joint", id_)["member"][place], (key,), after)


def _ordered(name: str, ids: list[str]) -> Callable[[Root], None]:
    def change(root: Root) -> None:
        rank = {id_: place for place, id_ in enumerate(ids)}
        root[name] = sorted(root[name], key=lambda table: rank.get(table["id"], len(rank)))

    return change


def _found(root: Root, name: str, id_: str | None) -> Table:
    if id_ is None:
        table: Table = root[name]
        return table
    return next(table for table in root[name] if table["id"] == id_)


def _put(table: Table, keys: Iterable[str], source: Mapping[str, Any]) -> None:
    for key in keys:
        table.pop(key, None)
        if key in source:
            table[key] = deepcopy(source[key])


def _grouped(keys: Iterable[str]) -> Iterator[tuple[str, ...]]:
    """Each key with those that belong to it, once."""
    done: set[str] = set()
    for key in keys:
        if key not in done:
            group = next((group for group in TOGETHER if key in group), (key,))
            done.update(group)
            yield group


def _written(table: Mapping[str, Any], keys: Iterable[str]) -> tuple[str | None, ...]:
    """As it would be written: 0.30 is not 0.3, since a note may quote it."""
    return tuple(toml_value(table[key]) if key in table else None for key in keys)


def _label(keys: tuple[str, ...]) -> str:
    return keys[0].replace("_", " ")


def _said(table: Mapping[str, Any], keys: tuple[str, ...]) -> str:
    """The values in words, all but the first by their key; what is left out goes unsaid as long as one is there."""
    said = [
        _value(table[key]) if key == keys[0] else f"{_label((key,))} {_value(table[key])}"
        for key in keys
        if key in table
    ]
    return ", ".join(said) or NOT_GIVEN


def _value(value: Any) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, dict):
        return " ".join(f"{key} {_value(item)}" for key, item in value.items())
    return toml_value(value)


def _percent(value: Any) -> str:
    return "not reported" if value is None else f"{toml_value(value)} %"
