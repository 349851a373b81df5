"""A repair in figures: how long it took, what the parts cost, what is paid and what is still to pay."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from builder.money import Currency, Money, total
from builder.problems import Finding
from builder.record.repair import Repair


@dataclass(frozen=True, slots=True)
class RepairResults:
    """One repair worked out; amounts are None where none are known. A `balance` below zero is to be given back."""

    repair: Repair
    hours: float
    parts: Money | None = None
    price: Money | None = None
    paid: Money | None = None
    balance: Money | None = None


def work_out_repair(
    repair: Repair, file_stem: str, serials: Collection[str], currency: Currency | None
) -> tuple[RepairResults, tuple[Finding, ...]]:
    """A repair worked out in the currency of the shop, and what is wrong with it.

    `file_stem` is what its file is called, and `serials` are those of the shop's own instruments.
    """
    findings = [*_ticket_amiss(repair, file_stem, serials), *_days_amiss(repair)]
    amounts = list(_amounts_amiss(repair, currency))
    hours = sum(each.hours for each in repair.work if each.hours)
    if currency is None or amounts:
        return RepairResults(repair, hours), (*findings, *amounts)
    parts = [each.parts for each in repair.work if each.parts]
    paid = total((each.amount for each in repair.payments), currency)
    price = repair.price.in_shop(currency) if repair.price else None
    balance = Money(price.amount - paid.amount, currency) if price else None
    summed = total(parts, currency) if parts else None
    return RepairResults(repair, hours, summed, price, paid if repair.payments else None, balance), tuple(findings)


def _ticket_amiss(repair: Repair, file_stem: str, serials: Collection[str]) -> Iterator[Finding]:
    if repair.ticket != file_stem:
        message = f"this ticket is «{repair.ticket}», and its file is called «{file_stem}.yaml»"
        yield Finding("folder-serial", "ticket", message, "give both the same name")
    if repair.ticket.casefold() in {serial.casefold() for serial in serials}:
        message = f"an instrument of the shop has the serial «{repair.ticket}»"
        yield Finding(
            "duplicate-serial", "ticket", message, "number tickets otherwise than instruments, like R-2026-01"
        )


def _days_amiss(repair: Repair) -> Iterator[Finding]:
    days = [("promised", "promised for", repair.promised), ("handed_back", "handed back on", repair.handed_back)]
    days += [(f"work[{number}].date", "worked on", each.date) for number, each in enumerate(repair.work)]
    for field, said, day in days:
        if day and day < repair.taken_in:
            message = f"{said} {day}, before it was taken in on {repair.taken_in}"
            yield Finding("date-order", field, message, "one of the two days is wrong")


def _amounts_amiss(repair: Repair, currency: Currency | None) -> Iterator[Finding]:
    amounts = [("price", repair.price)]
    amounts += [(f"work[{number}].parts", each.parts) for number, each in enumerate(repair.work)]
    amounts += [(f"payments[{number}].amount", each.amount) for number, each in enumerate(repair.payments)]
    for field, amount in amounts:
        if amount and currency is None:
            message = "this amount cannot be reckoned with: the shop has no currency yet"
            hint = "write currency: with its code into records/private.yaml"
            yield Finding("half-known", field, message, hint, "hint")
            return
        if amount and currency and amount.in_shop(currency).currency != currency:
            message = f"{amount} is not in the currency of the shop, {currency}"
            yield Finding("does-not-fit", field, message, "write what it came to in the shop's currency")
