"""``hold``: the hold and witness points of a job."""

import click

from traveler.cli.common import (
    because_option,
    by_option,
    job_argument,
    open_shop,
    shop_option,
    tell,
)
from traveler.cli.ending import DONE
from traveler.cli.group import Group
from traveler.cli.output import say, say_json
from traveler.cli.secret import secret_option
from traveler.cli.signed import content_option, signing_of_step, step_argument

point_option = click.option(
    "--point",
    metavar="N",
    type=int,
    help="The point, as hold list numbers it.  [default: the only one that can be meant]",
)
because_if_any = click.option("--because", metavar="TEXT", help="What is to be said of it, if anything.")


@click.group(cls=Group)
def hold() -> None:
    """List, release and waive holds; notify and witness at witness points.

    A hold stops the acceptance of its step until the party that it names releases it; it never lapses, and is open
    again once the step changes. A witness point lapses when its notice has run out. Work can be recorded meanwhile.
    """


@hold.command(name="list")
@job_argument
@click.option("--json", "as_json", is_flag=True, help="Print a JSON list instead of text.")
@shop_option
def list_points(job: str, as_json: bool) -> int:
    """List the points of a job and where each stands."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.look import look

    with open_shop(read_only=True) as shop:
        traveler = look(shop, SystemClock(), job)
    if as_json:
        say_json(
            [{"step": step["number"], **point} for step in traveler["steps"] for point in step["points"]]
        )
    else:
        from traveler.report.decided_text import points_text

        say(points_text(traveler))
    return DONE


@hold.command()
@job_argument
@step_argument
@point_option
@because_if_any
@content_option
@by_option(required=True)
@secret_option
@shop_option
def release(
    job: str,
    step: int,
    point: int | None,
    because: str | None,
    content: str | None,
    by: str,
    secret_fd: int | None,
) -> int:
    """Release a hold, as the party that it names. Once the step changes it is open again. Status 1: refused."""
    from traveler.acts.points import release as release_hold

    with open_shop() as shop:
        signing = signing_of_step(
            shop, job, step, "lets the work go on past its hold", content, by, secret_fd
        )
        return tell(release_hold(signing, step, point, because))


@hold.command()
@job_argument
@step_argument
@point_option
@because_option("Why it is given up.")
@content_option
@by_option(required=True)
@secret_option
@shop_option
def waive(
    job: str, step: int, point: int | None, because: str, content: str | None, by: str, secret_fd: int | None
) -> int:
    """Give up a point, as the party that it names. Status 1: refused."""
    from traveler.acts.points import waive as waive_point

    with open_shop() as shop:
        signing = signing_of_step(shop, job, step, "is not waited for at this point", content, by, secret_fd)
        return tell(waive_point(signing, step, point, because))


@hold.command()
@job_argument
@step_argument
@point_option
@click.option("--at", metavar="TIME", help="When the party was told, in ISO 8601.  [default: now]")
@because_if_any
@content_option
@by_option(required=True)
@secret_option
@shop_option
def notify(
    job: str,
    step: int,
    point: int | None,
    at: str | None,
    because: str | None,
    content: str | None,
    by: str,
    secret_fd: int | None,
) -> int:
    """Note that a party was told that it can witness. Its notice runs from when this is written. Status 1: refused."""
    from traveler.acts.points import notify as notify_party

    with open_shop() as shop:
        signing = signing_of_step(shop, job, step, "was announced to its witness", content, by, secret_fd)
        return tell(notify_party(signing, step, point, because, at))


@hold.command()
@job_argument
@step_argument
@point_option
@because_if_any
@content_option
@by_option(required=True)
@secret_option
@shop_option
def attend(
    job: str,
    step: int,
    point: int | None,
    because: str | None,
    content: str | None,
    by: str,
    secret_fd: int | None,
) -> int:
    """Sign as the party that witnessed the step. Status 1: refused."""
    from traveler.acts.points import attend as attend_point

    with open_shop() as shop:
        signing = signing_of_step(shop, job, step, "was witnessed", content, by, secret_fd)
        return tell(attend_point(signing, step, point, because))
