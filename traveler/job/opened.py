"""An object of which the dear values are made when they are first asked for: a screen asks for few of them."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any, NamedTuple


class Later(NamedTuple):
    """What makes a value that nobody has asked for yet."""

    make: Callable[[], Any]


class Opened(Mapping[str, Any]):
    """Reads like a dictionary of ``parts``, in their order; those that are ``Later`` are made once, when asked for.

    What they are made of must never change, so that it is the same whenever it is asked for.
    """

    __slots__ = ("_parts",)

    def __init__(self, parts: dict[str, Any]) -> None:
        self._parts = parts

    def __getitem__(self, key: str) -> Any:
        """The value of ``key``."""
        found = self._parts[key]
        if isinstance(found, Later):
            found = self._parts[key] = found.make()
        return found

    def __contains__(self, key: object) -> bool:
        """Whether there is such a key; its value is not made."""
        return key in self._parts

    def __iter__(self) -> Iterator[str]:
        """The keys in order."""
        return iter(self._parts)

    def __len__(self) -> int:
        """How many keys there are."""
        return len(self._parts)
