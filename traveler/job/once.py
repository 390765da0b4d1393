"""What is worked out of a state is worked out once: a state never changes, so neither does what follows from it."""

from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec, Protocol, TypeVar


class _Holds(Protocol):
    @property
    def worked_out(self) -> dict[Any, Any]: ...


State = TypeVar("State", bound=_Holds)
Asked = ParamSpec("Asked")
Found = TypeVar("Found")


def once_a_state(
    work_out: Callable[Concatenate[State, Asked], Found],
) -> Callable[Concatenate[State, Asked], Found]:
    """``work_out``, a pure function of a state and parts of it, with its answers kept in the state itself.

    The gate, the view and the list of exceptions all ask how a requirement stands. What they ask about is known by
    identity, since comparing two requirements means comparing all their working; it is kept beside the answer, so
    that no other object can come to have its identity. An answer is never to be changed.
    """

    @wraps(work_out)
    def kept(state: State, /, *asked: Asked.args, **by_name: Asked.kwargs) -> Found:
        key = (work_out, *map(id, asked), *by_name, *map(id, by_name.values()))
        found = state.worked_out.get(key)
        if found is None:
            found = state.worked_out[key] = (work_out(state, *asked, **by_name), asked, by_name)
        answer: Found = found[0]
        return answer

    return kept
