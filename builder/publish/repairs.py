"""Names what the workshop sees of repairs, and of the service of its own instruments."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from builder.lengths import trimmed
from builder.money import Money
from builder.published.order import PublishedMoney
from builder.published.repair import PublishedRepair, PublishedRepairWork, PublishedService
from builder.results.repair import RepairResults
from builder.workshop import Instrument


def publish_repair(results: RepairResults) -> PublishedRepair:
    """One repair."""
    repair, balance = results.repair, results.balance
    is_owed = balance is not None and balance.amount >= 0
    currency = results.price or results.parts or results.paid
    return PublishedRepair(
        ticket=repair.ticket,
        kind=repair.kind,
        maker=repair.maker,
        number=repair.number,
        owner=repair.owner.name,
        address=", ".join(repair.owner.address.split("\n")) if repair.owner.address else None,
        reached_at=tuple(filter(None, (repair.owner.telephone, repair.owner.email))),
        taken_in=repair.taken_in.isoformat(),
        promised=_day(repair.promised),
        says=repair.says,
        found=repair.found,
        agreed=repair.agreed,
        work=tuple(
            PublishedRepairWork(
                each.date.isoformat(),
                each.did,
                _hours(each.hours),
                _money(each.parts.in_shop(currency.currency) if each.parts and currency else each.parts),
            )
            for each in sorted(repair.work, key=lambda each: each.date)
        ),
        hours=_hours(results.hours),
        parts=_money(results.parts),
        price=_money(results.price),
        paid=_money(results.paid),
        balance=_money(balance) if is_owed else None,
        to_give_back=None if is_owed or balance is None else _money(Money(-balance.amount, balance.currency)),
        handed_back=_day(repair.handed_back),
    )


def publish_repairs(repairs: Iterable[RepairResults]) -> tuple[PublishedRepair, ...]:
    """What is in the shop first, by the day it is promised for; then what was handed back, newest first."""
    listed = [publish_repair(each) for each in repairs]
    waiting = [each for each in listed if not each.handed_back]
    done = [each for each in listed if each.handed_back]
    return (
        *sorted(waiting, key=lambda each: (each.promised or "9999", each.taken_in, each.ticket)),
        *sorted(done, key=lambda each: (each.handed_back or "", each.ticket), reverse=True),
    )


def publish_services(instruments: Iterable[Instrument]) -> tuple[PublishedService, ...]:
    """All service of the shop's own instruments, newest first."""
    found = [
        PublishedService(each.record.serial, each.record.title, entry.date.isoformat(), entry.did)
        for each in instruments
        for entry in each.record.service
    ]
    return tuple(sorted(found, key=lambda each: (each.date, each.serial), reverse=True))


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _hours(hours: float | None) -> str | None:
    return f"{trimmed(hours, 2)} h" if hours else None


def _money(money: Money | None) -> PublishedMoney | None:
    return PublishedMoney(money.number, money.currency) if money else None
