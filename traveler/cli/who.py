"""Who acts: as a command or the environment says, else the name of the account."""

from typing import TYPE_CHECKING

from traveler.errors import BadInput

if TYPE_CHECKING:
    from traveler.job.person import Person


def stated_person(name: str | None) -> "Person":
    """The person named by ``--by`` or TRAVELER_BY, else by the login name. Raises BadInput for an unusable name."""
    from traveler.acts.typed import printable
    from traveler.job.person import Person

    stated = printable(_login_name() if name is None else name, "the person's name (--by)")
    if stated is None:
        raise BadInput("the person's name is empty; say who does it with --by or TRAVELER_BY")
    return Person(stated)


def _login_name() -> str:
    import getpass

    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        raise BadInput("this account has no name; say who does it with --by or TRAVELER_BY") from None
