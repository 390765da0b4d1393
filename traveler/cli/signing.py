"""What every signing command does first: show what is to be signed, then ask for the secret, where there are any."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from traveler.cli.secret import Asking
from traveler.errors import BadInput

if TYPE_CHECKING:
    from traveler.job.person import Person
    from traveler.record.secrets import Secret
    from traveler.record.shop import Shop


def asked_for_step(
    shop: "Shop", person: "Person", job: str, step: int, what: str, content: str | None, asking: Asking
) -> tuple[str | None, "Secret | None"]:
    """The digest that is signed and the signer's secret; the secret is None where none is needed or can be checked.

    On a terminal the step is shown and its digest taken, so that a change in the meantime is refused; a script names
    the digest that it was shown.
    """
    whose = secret_needed_of(shop, person)
    if whose is None:
        return content, None
    if asking.by_script and content is None:
        raise BadInput("a script signs what it was shown: give the content of show --json with --content")
    if not asking.by_script:
        from traveler.acts.clock import SystemClock
        from traveler.acts.look import look
        from traveler.report.signing_text import step_shown

        traveler = look(shop, SystemClock(), job)
        found = next((entry for entry in traveler["steps"] if entry["number"] == step), None)
        if found is None:
            return content, None
        asking.show(step_shown(traveler, found, what, whose))
        content = found["content"] if content is None else content
    return content, asking.secret(f"secret of {whose}")


def asked_for_job(
    shop: "Shop",
    person: "Person",
    job: str,
    what: str,
    head: str | None,
    asking: Asking,
    more: Callable[[], str] | None = None,
) -> tuple[str | None, "Secret | None"]:
    """The code of the job's record that is signed and the signer's secret, as for a step; ``more`` is shown as well."""
    whose = secret_needed_of(shop, person)
    if whose is None:
        return head, None
    if not asking.by_script:
        from traveler.acts.clock import SystemClock
        from traveler.acts.look import look
        from traveler.report.signing_text import job_shown

        traveler = look(shop, SystemClock(), job)
        asking.show(job_shown(traveler, what, whose) + (more() if more is not None else ""))
        head = traveler["head"] if head is None else head
    return head, asking.secret(f"secret of {whose}")


def asked_for(
    shop: "Shop", person: "Person", asking: Asking, shown: Callable[[str], str] | None = None
) -> "Secret | None":
    """The secret of who acts, None where none is needed; ``shown`` makes what is put before them out of their name."""
    whose = secret_needed_of(shop, person)
    if whose is None:
        return None
    if shown is not None and not asking.by_script:
        asking.show(shown(whose))
    return asking.secret(f"secret of {whose}")


def says(what: str) -> Callable[[str], str]:
    """What is put before somebody who answers for ``what``, a sentence without its subject."""

    def shown(who: str) -> str:
        from traveler.report.words import visible

        return f"\n{visible(f'{who} {what}')}.\n"

    return shown


def secret_needed_of(shop: "Shop", person: "Person") -> str | None:
    """ "Wanda Vance (P2)" where her secret is needed; None where nobody has one, or the act will refuse her anyway."""
    from traveler.acts.register import known, register_of
    from traveler.job.register_gate import secrets_in_use

    register = register_of(shop)
    found = known(register, person)
    if not secrets_in_use(register) or found.id is None or register.person(found.id).disabled:
        return None
    return f"{found.name} ({found.id})"
