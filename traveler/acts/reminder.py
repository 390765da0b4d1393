"""Is it time for another backup? Said, and nothing more: whoever lacks one still works."""

from datetime import datetime

from traveler.acts.clock import Clock
from traveler.acts.register import register_of, shop_now
from traveler.job.register import Backup
from traveler.record.log import SHOP_STREAM, job_stream
from traveler.record.shop import Shop
from traveler.report.words import count_words

USUAL_DAYS = 30
"""Where the shop has set nothing: a month is about what can be entered again from the sheets on paper."""

HOW = "make one with: traveler backup FILE"


def backup_reminder(shop: Shop, clock: Clock) -> str:
    """A sentence once the last backup is as old as the setting "backup reminder" says; else empty.

    Counted are whole days since the last backup, where there is none since the first job was issued. Nothing is said
    while there is no job, while nothing was entered since the last backup, and where the setting is "never".
    """
    register = register_of(shop)
    after = _days(register.settings.get("backup reminder"))
    first_job = shop.first_job()
    if after is None or first_job is None:
        return ""
    last = register.last_backup
    if last is None:
        return _never_made(shop, shop_now(shop, clock), first_job, after)
    # The copy lacks the event that notes it, and nothing else.
    if shop.count_events() <= last.events + 1:
        return ""
    return _old(shop, shop_now(shop, clock), last, after)


def _days(setting: str | None) -> int | None:
    if setting is None:
        return USUAL_DAYS
    number, *unit = setting.split()
    return int(number) if unit else None


def _never_made(shop: Shop, now: datetime, first_job: str, after: int) -> str:
    issued = datetime.fromisoformat(shop.events(job_stream(first_job))[0].data["recorded_at"])
    days = (now - issued).days
    if days < after:
        return ""
    return f"no backup of this shop was ever made, and its first job is {count_words(days, 'day')} old; {HOW}"


def _old(shop: Shop, now: datetime, last: Backup, after: int) -> str:
    # Making and checking copies comes with it, and most starts are not asked for one.
    from traveler.record.backup import days_since_backup

    days = days_since_backup(shop.events(SHOP_STREAM, last.moment.seq), now)
    if days is None:
        return f"the last backup is dated {last.moment.recorded_at}, which is still to come; {HOW}"
    return f"the last backup is {count_words(days, 'day')} old; {HOW}" if days >= after else ""
