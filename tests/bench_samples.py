"""Bench sheets to test: every demo instrument with its order, and one of which next to nothing is known."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from builder.publish import publish, publish_shop
from builder.publish.bench import publish_bench
from builder.publish.order import order_of
from builder.published import Published, PublishedBench, PublishedShop
from builder.published.order import PublishedOrder
from builder.reading.folder import read_shop_folder
from builder.record import PrivateFile
from builder.sheets.batch_sheet import BatchMember
from builder.sheets.bench_sheet import bench_sheet_html
from builder.shop import Shop
from builder.workshop import Instrument, Workshop, open_shop
from tests.certificate_samples import NEARLY_EMPTY

DEMO = Path(__file__).parent.parent
EMPTY_BENCH = PublishedBench(
    serial=NEARLY_EMPTY.serial, address=NEARLY_EMPTY.address, title=NEARLY_EMPTY.title, kind=NEARLY_EMPTY.kind,
    visibility="public", stage="planned", promised=None, steps=(), glues=(), finishing=None, room_limits="",
    clearances=(), body_drawing=None, heights=None, subjects=(),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sample:
    """What a bench sheet is made from."""

    instrument: Published
    bench: PublishedBench
    shop: PublishedShop
    order: PublishedOrder | None

    @property
    def html(self) -> str:
        """The sheet."""
        return bench_sheet_html(self.instrument, self.bench, self.shop, self.order)

    @property
    def member(self) -> BatchMember:
        """The same as one of a batch."""
        return BatchMember(self.instrument, self.bench, self.order)


@cache
def demo() -> Workshop:
    """The demo shop, read and worked out."""
    return open_shop(DEMO, private_files=False)


def demo_shop() -> Shop:
    """The shop file of the demo."""
    shop = demo().shop
    assert shop is not None
    return shop


@cache
def private_files() -> dict[str, PrivateFile]:
    """The private files of the demo by serial."""
    read = read_shop_folder(DEMO, private_files=True).instruments
    return {each.folder: each.private.value for each in read if each.private and each.private.value}


def instrument_of(serial: str) -> Instrument:
    """An instrument of the demo."""
    return next(each for each in demo().instruments if each.record.serial == serial)


def sample(serial: str, *, names: bool = True) -> Sample:
    """What the sheet of a demo instrument is made from."""
    shop, instrument = demo_shop(), instrument_of(serial)
    return Sample(
        publish(instrument, shop),
        publish_bench(instrument, shop),
        publish_shop(shop),
        order_of(private_files().get(serial), instrument.record.dates, names=names),
    )


SERIALS = tuple(each.record.serial for each in demo().instruments)
SIX = ("2024-003", "2024-005", "2025-002", "2025-006", "2026-001", "2026-004")
