"""What was typed into forms and not recorded, of this session and of sessions that ended before."""

from collections.abc import Callable, Iterator, Mapping, MutableMapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from traveler.acts.clock import Clock
from traveler.record.unfinished import KEPT_DAYS, UnfinishedFile

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Draft:
    """``name`` is the form's; ``values`` what stands in its fields, ``private`` those of them that stay in memory.

    ``words``: what the form does, as its heading has it. ``form``: by what name it is opened again, empty where that
    is left to its own key. ``job``, ``step`` and ``about`` (the key of a requirement) say what it is about. ``at``:
    when it was typed, ISO with offset.
    """

    name: str
    values: Mapping[str, str]
    words: str = ""
    form: str = ""
    job: str = ""
    step: int | None = None
    about: str = ""
    at: str = ""
    private: frozenset[str] = frozenset()

    @property
    def typed(self) -> list[str]:
        """What stands in the fields, those that are empty left out."""
        return [value for key, value in self.values.items() if value.strip() and key not in self.private]

    @property
    def moment(self) -> datetime:
        """When it was typed."""
        return datetime.fromisoformat(self.at)

    def clock_time(self, now: datetime) -> str:
        """ "14:02", with the day before it where that is not the day of ``now``."""
        at = self.moment.astimezone(now.tzinfo)
        return at.strftime("%H:%M" if at.date() == now.date() else "%Y-%m-%d %H:%M")


class Drafts(MutableMapping[str, dict[str, str]]):
    """By the name of the form. In memory until ``keep_in`` gives them a file; what is private is in memory only."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._drafts: dict[str, Draft] = {}
        self._file: UnfinishedFile | None = None
        self._by = ""

    def keep_in(self, file: UnfinishedFile, by: str) -> int:
        """Keep them in ``file`` from now on, under the name ``by``; how many were left behind under that name."""
        self._file, self._by = file, by
        left = [_read(kept) for content in file.take_over(_left_by(by)) for kept in content["drafts"]]
        # Each start takes them into a file of its own, so that the age of the file says nothing.
        left = [draft for draft in left if self._clock.now() - draft.moment <= timedelta(days=KEPT_DAYS)]
        for draft in sorted(left, key=lambda draft: draft.moment, reverse=True):
            name = self._free(draft.name)
            self._drafts[name] = replace(draft, name=name)
        self._drafts = dict(reversed(self._drafts.items()))
        self._write()
        file.forget_taken()
        return len(self._drafts)

    @property
    def outlive(self) -> bool:
        """Whether they are still there when the program is started again."""
        return self._file is not None and self._file.works

    def keep(self, draft: Draft) -> None:
        """Put aside what stands in a form, in place of what was put aside of it before."""
        kept = self._drafts.get(draft.name)
        if kept is not None and kept.values == draft.values:
            return
        self._drafts.pop(draft.name, None)
        at = self._clock.now().isoformat(timespec="minutes")
        self._drafts[draft.name] = replace(draft, values=dict(draft.values), at=at)
        self._write()

    def draft(self, name: str) -> Draft | None:
        """All that is known of one."""
        return self._drafts.get(name)

    def all(self) -> list[Draft]:
        """The one typed last first."""
        return list(reversed(self._drafts.values()))

    def of(self, job: str, step: int | None = None, about: str = "") -> list[Draft]:
        """Those about a job, one of its steps or one requirement of that, the one typed last first."""
        return [
            draft
            for draft in self.all()
            if draft.job == job and step in (None, draft.step) and (not about or draft.about == about)
        ]

    def __getitem__(self, name: str) -> dict[str, str]:
        return dict(self._drafts[name].values)

    def __setitem__(self, name: str, values: dict[str, str]) -> None:
        self.keep(Draft(name, values, words=name))

    def __delitem__(self, name: str) -> None:
        del self._drafts[name]
        self._write()

    def __iter__(self) -> Iterator[str]:
        return iter(self._drafts)

    def __len__(self) -> int:
        return len(self._drafts)

    def _free(self, name: str) -> str:
        """A name that no draft has: two sessions may have left the same form half filled."""
        number, free = 1, name
        while free in self._drafts:
            number += 1
            free = f"{name} ({number})"
        return free

    def _write(self) -> None:
        if self._file is None:
            return
        kept = [_written(draft) for draft in self._drafts.values()]
        kept = [entry for entry in kept if any(entry["values"].values())]
        while True:
            try:
                self._file.keep({"by": self._by, "drafts": kept} if kept else None)
            except ValueError:
                kept = kept[1:]  # the oldest goes first
            else:
                return


def _left_by(by: str) -> Callable[[Json], bool]:
    """Whether a file was written by this program for that name."""

    def left(found: Json) -> bool:
        try:
            drafts = [_read(kept) for kept in found["drafts"]]
        except (KeyError, TypeError, ValueError, AttributeError):
            return False
        return found.get("by") == by and bool(drafts)

    return left


def _written(draft: Draft) -> Json:
    return {
        "name": draft.name,
        "values": {key: value for key, value in draft.values.items() if key not in draft.private},
        "words": draft.words,
        "form": draft.form,
        "job": draft.job,
        "step": draft.step,
        "about": draft.about,
        "at": draft.at,
    }


def _read(kept: Json) -> Draft:
    """Raises KeyError, TypeError or ValueError for what this program did not write."""
    step = kept["step"]
    at = datetime.fromisoformat(str(kept["at"]))
    return Draft(
        name=str(kept["name"]),
        values={str(key): str(value) for key, value in kept["values"].items()},
        words=str(kept["words"]),
        form=str(kept["form"]),
        job=str(kept["job"]),
        step=None if step is None else int(step),
        about=str(kept["about"]),
        at=at.astimezone().isoformat(timespec="minutes"),
    )
