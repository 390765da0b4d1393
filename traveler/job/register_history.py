"""What was entered about an instrument, a lot or a setting of the register: who, when, and in words what."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from traveler.job.person import moment_of, person_of
from traveler.job.quantity_act import quantity_from_act
from traveler.job.register_fold import (
    ELECTRODE_OPENED,
    ELECTRODE_REBAKED,
    INSTRUMENT_CALIBRATED,
    INSTRUMENT_FOUND_OUT,
    INSTRUMENT_REGISTERED,
    INSTRUMENT_WITHDRAWN,
    LOT_RECEIVED,
    SETTING_CHANGED,
)
from traveler.job.view_trust import who_when
from traveler.quantity.show import show_both

Json = dict[str, Any]
Event = Mapping[str, Any]

OF_INSTRUMENTS = (
    INSTRUMENT_REGISTERED,
    INSTRUMENT_CALIBRATED,
    INSTRUMENT_FOUND_OUT,
    INSTRUMENT_WITHDRAWN,
)
OF_LOTS = (LOT_RECEIVED, ELECTRODE_OPENED, ELECTRODE_REBAKED)


def history_of(events: Iterable[Event], key: str, wanted: str) -> list[Json]:
    """The events of the shop's stream whose ``key`` ("instrument", "lot", "name" of a setting) is ``wanted``, in order.

    Each with ``what`` in words, ``because`` (None without a reason), ``by`` and the two times.
    """
    kinds = {"instrument": OF_INSTRUMENTS, "lot": OF_LOTS, "name": (SETTING_CHANGED,)}[key]
    return [
        {
            "what": _WORDS[event["kind"]](event["act"]),
            "because": event["act"].get("because"),
            **who_when(person_of(event["by"]), moment_of(event)),
        }
        for event in events
        if event["kind"] in kinds and event["act"][key] == wanted
    ]


def _calibrated(act: Event) -> str:
    uncertainty = quantity_from_act(act["uncertainty"])
    stated = f", uncertainty {show_both(uncertainty)}" if uncertainty else ""
    return f"calibrated on {act['on']}, due {act['due']}, certificate {act['certificate']}{stated}"


def _found_out(act: Event) -> str:
    return f"found out of tolerance on {act['on']}: {act['finding']}; last good on {act['since']}"


def _exposed(word: str) -> Callable[[Event], str]:
    def words(act: Event) -> str:
        hours = act["hours_allowed"]
        return f"{word} at {act['at']}" + (f", may be out {hours} h" if hours is not None else "")

    return words


_WORDS: Mapping[str, Callable[[Event], str]] = {
    INSTRUMENT_REGISTERED: lambda act: f"registered as {act['name']}, {act['type']}",
    INSTRUMENT_CALIBRATED: _calibrated,
    INSTRUMENT_FOUND_OUT: _found_out,
    INSTRUMENT_WITHDRAWN: lambda act: "withdrawn",
    LOT_RECEIVED: lambda act: f"cut from {act['remnant_of']}" if act["remnant_of"] else "received",
    ELECTRODE_OPENED: _exposed("opened"),
    ELECTRODE_REBAKED: _exposed("rebaked"),
    SETTING_CHANGED: lambda act: f"set to {act['value']}",
}
