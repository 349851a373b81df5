"""What buyers may not see changes no byte of their site."""

from __future__ import annotations

import shutil
from pathlib import Path

from builder.workshop import open_shop
from tests.shops import REPOSITORY, boutbook, files_below, forget_what_was_made


def test_a_site_is_the_same_bytes_without_any_private_file(demo_site: Path, whole_shop: Path) -> None:
    privates = list((whole_shop / "records").rglob("private.yaml"))
    assert whole_shop / "records" / "private.yaml" in privates
    for private in privates:
        private.unlink()
    forget_what_was_made()
    boutbook("build", folder=whole_shop)
    assert files_below(whole_shop / "site") == files_below(demo_site)


def test_a_site_is_the_same_bytes_without_the_instruments_that_are_not_for_buyers_or_not_listed(
    demo_site: Path, whole_shop: Path
) -> None:
    """Of an unlisted one nothing but its own files is missing then: no list, count, date, index or sitemap knew it."""
    instruments = open_shop(REPOSITORY, private_files=False).instruments
    unlisted = [each.address for each in instruments if each.record.is_unlisted]
    for each in instruments:
        if each.record.is_unlisted or not each.record.is_for_buyers:
            shutil.rmtree(whole_shop / "records" / "instruments" / each.record.serial)
    forget_what_was_made()
    boutbook("build", folder=whole_shop)
    before, after = files_below(demo_site), files_below(whole_shop / "site")
    gone = before.keys() - after.keys()
    assert gone == {name for name in before if any(address in name for address in unlisted)}
    assert len(gone) >= 2, "its page and its string card at the least"
    assert after == {name: content for name, content in before.items() if name not in gone}
