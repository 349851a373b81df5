"""Hours worked, added up: counted anew here from the demo's own private file."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import yaml

from builder.limits import WorkedHours
from builder.publish.bench import publish_bench
from builder.record import Build, Step
from builder.record.hours import HoursEntry
from builder.results.hours import HoursOfStep, work_out_hours
from builder.workshop import open_shop
from tests.shops import REPOSITORY

DAY = date(2026, 3, 4)


def test_hours_stand_in_the_order_of_the_steps_and_those_of_no_step_last() -> None:
    build = Build(steps=(Step("Sides bent"), Step("Box closed"), Step("Strung")))
    entries = [(None, 0.5), ("box closed", 2), ("Jig made", 1), ("Sides bent", 3), ("Box closed", 1.5), (None, 1)]
    results = work_out_hours((HoursEntry(DAY, WorkedHours(hours), step) for step, hours in entries), build)
    assert results is not None
    assert (results.total_hours, results.sittings) == (9, 6)
    by_step = [("Sides bent", 3), ("Box closed", 3.5), ("Jig made", 1), ("", 1.5)]
    assert results.by_step == tuple(HoursOfStep(step, hours) for step, hours in by_step)
    assert work_out_hours([], build) is None


def test_the_bench_page_of_the_demo_shows_what_its_private_file_adds_up_to() -> None:
    written = yaml.safe_load((REPOSITORY / "records/instruments/2026-004/private.yaml").read_text("utf-8"))["hours"]
    in_hours = {"3 1/2": Fraction(7, 2), "45 min": Fraction(3, 4), "4 h": Fraction(4), "2.5": Fraction(5, 2)}
    total = sum(in_hours[str(each["hours"])] for each in written)
    workshop = open_shop(REPOSITORY, private_files=True)
    assert workshop.shop is not None
    instrument = next(each for each in workshop.instruments if each.record.serial == "2026-004")
    (hours,) = [each for each in publish_bench(instrument, workshop.shop).subjects if each.key == "hours"]
    assert hours.figures.facts[0].value == float(total)
    assert [row[0] for row in hours.figures.tables[0].table.rows] == [
        "Back laid up from strips", "Sides bent", "no step named",
    ]  # fmt: skip
    without = open_shop(REPOSITORY, private_files=False)
    bare = next(each for each in without.instruments if each.record.serial == "2026-004")
    assert "hours" not in {each.key for each in publish_bench(bare, workshop.shop).subjects}
