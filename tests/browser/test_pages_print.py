"""The pages of instruments on paper: no table is wider than the sheet, whatever the board."""

from __future__ import annotations

import pytest

from tests.browser.visiting import PAPERS, Visit


@pytest.mark.parametrize("paper", PAPERS)
def test_every_table_fits_on_the_sheet(visits: list[Visit], paper: str) -> None:
    instruments = [visit for visit in visits if visit.address.startswith("instruments/")]
    assert len(instruments) >= 8
    for visit in instruments:
        assert visit.tables_too_wide_for[paper] == [], visit.address
