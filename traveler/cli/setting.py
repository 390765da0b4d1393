"""``setting``: how the shop does things."""

import click

from traveler.cli.common import by_option, open_shop, shop_option, stated_person
from traveler.cli.ending import ANSWER_IS_NO, DONE
from traveler.cli.group import Group
from traveler.cli.output import say, say_json
from traveler.cli.secret import Asking, secret_option
from traveler.cli.signing import asked_for


@click.group(cls=Group)
def setting() -> None:
    """List and change the settings of the shop: its name, zone, paper, decision rule, idle lock, backup reminder."""


@setting.command(name="list")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
@shop_option
def list_settings(as_json: bool) -> int:
    """List the settings of the shop; one that was never set is the program's to choose."""
    from traveler.acts.register import register_of
    from traveler.job.register import SETTINGS
    from traveler.report.words import visible

    with open_shop(read_only=True) as shop:
        given = register_of(shop).settings
    if as_json:
        say_json({name: given.get(name) for name in SETTINGS})
    else:
        say("".join(f"{name}: {visible(given.get(name, 'not set'))}\n" for name in SETTINGS))
    return DONE


@setting.command()
@click.argument("name")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
@shop_option
def show(name: str, as_json: bool) -> int:
    """Show one setting with everything that it was set to, by whom and when."""
    from traveler.acts.register_look import look_at_setting

    with open_shop(read_only=True) as shop:
        found = look_at_setting(shop, name)
    if as_json:
        say_json(found)
    else:
        from traveler.report.inventory_text import setting_text

        say(setting_text(found))
    return DONE


@setting.command(name="set")
@click.argument("name")
@click.argument("value")
@by_option()
@secret_option
@shop_option
def set_one(name: str, value: str, by: str | None, secret_fd: int | None) -> int:
    """Change a setting from now on; what was issued before keeps what it was issued with. Status 1: refused."""
    from traveler.acts.clock import SystemClock
    from traveler.acts.settings import change_setting
    from traveler.report.words import visible

    who = stated_person(by)
    with open_shop() as shop:
        own = asked_for(shop, who, Asking(secret_fd))
        outcome = change_setting(shop, SystemClock(), who, name, value, secret=own)
    lines = (outcome.message, *(f"  {reason}" for reason in outcome.reasons))
    say("".join(f"{visible(line)}\n" for line in lines), unprinted=outcome.message)
    return DONE if outcome.recorded else ANSWER_IS_NO
