"""The bench board, worked out anew here from the demo's own files, and every edge of it to the minute."""

from __future__ import annotations

import csv
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner

from builder import addresses, command_line
from builder.beside import prepare
from builder.commands import asked
from builder.publish.bench_board import publish_bench_board
from builder.published.bench_board import PublishedBoardLine
from builder.results.bench_board import BenchBoardResults, work_out_bench_board
from builder.site import site_of
from builder.workshop import Workshop, open_shop
from tests.page_reading import body, part, tree, words
from tests.shops import REPOSITORY

SHOP = """
format: 1
name: Sandpiper Workshop
maker: Ada Ferrow
units: inches
rules: [{name: bench rule, marks: 1/64 in}]
working_rule: bench rule
glues: {pot glue: {kind: hot hide, clamps_off: 4 h, bears_load: 24 h}, paste: {bears_load: 2 h}}
finish_schedules: {varnish: {product: varnish, coats: 2, between_coats: 20 h, cured: 3 days}, wax: {product: wax}}
room_limits: {humidity: [40 %, 50 %]}
"""
CLOSED = datetime(2026, 3, 4, 14, 30)
ONE = "build: {glue_ups: [{parts: [linings, sides], at: 2026-03-04 14:30, glue: GLUE}]}\n"
#: The demo's hours as they are written, in hours.
HOURS = {
    "4 h": 4, "12 h": 12, "24 h": 24, "1 h": 1, "20 h": 20, "14 days": 336, "24.0": 24, "3 h": 3, "3 1/2": 3.5,
    "2 h": 2, "1 1/2": 1.5, "2 1/2": 2.5,
}  # fmt: skip


@pytest.fixture(scope="module")
def demo() -> Workshop:
    return open_shop(REPOSITORY, private_files=True)


def shop_with(folder: Path, *records: str, **others: str) -> Workshop:
    """A shop with these records, 2026-001 and on, and other files by name."""
    files = {"shop.yaml": SHOP, **{name.replace("__", "/").replace("_", "."): text for name, text in others.items()}}
    for number, text in enumerate(records, 1):
        serial = f"2026-{number:03}"
        files[f"instruments/{serial}/record.yaml"] = f"format: 1\nserial: {serial}\nkind: lute\n{text}"
    for name, text in files.items():
        file = folder / "records" / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, "utf-8")
    workshop = open_shop(folder, private_files=True)
    assert not workshop.has_errors, workshop.problems
    return workshop


def results_at(workshop: Workshop, moment: datetime) -> BenchBoardResults:
    assert workshop.shop is not None
    instruments = [(each.record, each.private, each.results) for each in workshop.instruments]
    return work_out_bench_board(moment, instruments, workshop.patterns, workshop.shop, workshop.room_log)


def lines_at(workshop: Workshop, moment: datetime) -> list[str]:
    board = publish_bench_board(workshop, moment)
    return [in_short(line) for line in (*board.ready, *board.resting)]


def in_short(line: PublishedBoardLine) -> str:
    return "; ".join(filter(None, (line.says, line.when, line.also))) + ("*" if line.is_typical else "")


def plain(file: str) -> Any:
    return yaml.safe_load((REPOSITORY / "records" / file).read_text("utf-8"))


MOMENTS = [datetime(2026, 11, 27, 9), datetime(2026, 11, 26, 11, 30), datetime(2026, 10, 21, 10, 59)]


@pytest.mark.parametrize("moment", MOMENTS, ids=str)
def test_the_demos_board_worked_out_anew_from_its_files(demo: Workshop, moment: datetime) -> None:
    shop, day = plain("shop.yaml"), moment.date()
    pattern = {each["step"]: HOURS[str(each["hours"])] for each in plain("patterns/teardrop-28.yaml")["steps"]}
    joints, coats, work = set(), set(), {}
    for serial in ("2026-004", "2026-005", "2026-006"):
        record = plain(f"instruments/{serial}/record.yaml")
        build = record["build"]
        for each in build["glue_ups"]:
            closed = datetime.fromisoformat(each["at"])
            label = shop["glues"].get(each["glue"], {})
            if closed > moment or "clamps_off" not in label:
                continue
            off, load = (closed + timedelta(hours=HOURS[label[name]]) for name in ("clamps_off", "bears_load"))
            written = each.get("clamps_off")
            if (written and datetime.fromisoformat(written) <= moment) or moment >= off + timedelta(days=7):
                state = "resting" if moment < load else "bears load" if moment < load + timedelta(days=1) else ""
            else:
                state = "free" if off <= moment else "in clamps"
            if state:
                joints.add((serial, tuple(each["parts"]), state, off, load))
        laid = [datetime.fromisoformat(each["at"]) for each in build.get("coats", [])]
        laid = [each for each in laid if each <= moment]
        if laid:
            schedule = shop["finish_schedules"][record["spec"]["finish"]["schedule"]]
            following = max(laid) + timedelta(hours=HOURS[schedule["between_coats"]])
            coats.add((serial, len(laid), schedule["coats"], following, "ready" if following <= moment else "drying"))
        to_do = [each["step"] for each in build["steps"] if "done" not in each or each["done"] > day]
        promised = record.get("dates", {}).get("promised")
        timed = [pattern[step] for step in to_do if step in pattern]
        is_thought_of = record.get("dates", {}).get("ordered") or min(each["done"] for each in build["steps"][:1])
        if is_thought_of <= day:
            late = (promised - day).days if promised else None
            work[serial] = (to_do[0], pattern.get(to_do[0]), len(to_do), sum(timed), late)
    found = results_at(demo, moment)
    known = {each for each in found.joints if each.state != "unknown"}
    assert {(each.serial, each.joint.parts, each.state, each.clamps_off, each.bears_load) for each in known} == joints
    assert {(each.serial, each.laid, each.of, each.until, each.state) for each in found.coats} == coats
    of_ours = [each for each in found.work if each.serial in ("2026-004", "2026-005", "2026-006")]
    assert {
        each.serial: (each.next_step, each.next_hours, each.steps_left, each.left_hours, each.days_left)
        for each in of_ours
    } == work
    events = {(each.serial, each.kind, each.at) for each in found.ahead if each.at}
    last = datetime.combine(day + timedelta(days=7), datetime.min.time())
    times = {(serial, "bears load", load) for serial, _, _, _, load in joints}
    times |= {(serial, "clamps off", off) for serial, _, state, off, _ in joints if state == "in clamps"}
    times |= {(serial, "next coat", following) for serial, _, _, following, state in coats if state == "drying"}
    assert events == {each for each in times if moment < each[2] < last}
    with (REPOSITORY / "records" / "room.csv").open(encoding="utf-8") as stream:
        log = [
            (datetime.fromisoformat(at), float(warm), float(damp)) for at, warm, damp in list(csv.reader(stream))[1:]
        ]
    least, most = (float(each.removesuffix(" F")) for each in shop["room_limits"]["temperature"])
    driest, dampest = (float(each.removesuffix(" %")) for each in shop["room_limits"]["humidity"])
    lately = [each for each in log if moment - timedelta(days=7) <= each[0] <= moment]
    outside = {(at, "temperature") for at, warm, _ in lately if not least <= warm <= most}
    outside |= {(at, "humidity") for at, _, damp in lately if not driest <= damp <= dampest}
    assert found.room is not None
    assert {(each.at, each.quantity) for each in found.room.outside} == outside
    assert found.room.last.at == max(at for at, _, _ in log if at <= moment)


def test_the_demo_shows_every_part_of_the_board(demo: Workshop) -> None:
    board = publish_bench_board(demo, MOMENTS[0])
    assert [line.says for line in board.ready] == [
        "can leave the clamps now", "may bear load now", "may have coat 3 of 4 now",
    ]  # fmt: skip
    assert [(line.says, line.when) for line in board.resting] == [("in clamps", "until today 20:15")]
    assert [(each.serial, each.takes, each.due, each.is_late) for each in board.work] == [
        ("2026-005", "3\u00a0h", "6 days late", True),
        ("2026-004", "1.5\u00a0h", "93 days left", False),
        ("2026-006", "3.5\u00a0h", "", False),
    ]
    assert board.room is not None
    assert len(board.room.outside) == 2


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        (-1 / 60, []),
        (0, ["in clamps; until today 18:30; no load before tomorrow 14:30"]),
        (4 - 1 / 60, ["in clamps; until today 18:30; no load before tomorrow 14:30"]),
        (4, ["can leave the clamps now; since today 18:30; no load before tomorrow 14:30"]),
        (24 - 1 / 60, ["can leave the clamps now; since yesterday 18:30; no load before today 14:30"]),
        (24, ["can leave the clamps now; since yesterday 18:30"]),
        (4 + 7 * 24 - 1 / 60, ["can leave the clamps now; since Wednesday 4 March 18:30"]),
        (4 + 7 * 24, []),
    ],
)
def test_a_joint_to_the_minute(tmp_path: Path, hours: float, said: list[str]) -> None:
    workshop = shop_with(tmp_path, ONE.replace("GLUE", "Pot  glue"))
    assert lines_at(workshop, CLOSED + timedelta(minutes=round(hours * 60))) == said


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        (4, ["can leave the clamps now; since today 18:30; no load before tomorrow 14:30"]),
        (5, ["out of the clamps, no load yet; until tomorrow 14:30"]),
        (24 - 1 / 60, ["out of the clamps, no load yet; until today 14:30"]),
        (24, ["may bear load now; since today 14:30"]),
        (48 - 1 / 60, ["may bear load now; since yesterday 14:30"]),
        (48, []),
    ],
)
def test_a_joint_whose_clamps_came_off(tmp_path: Path, hours: float, said: list[str]) -> None:
    record = ONE.replace("GLUE", "pot glue, clamps_off: 2026-03-04 19:30")
    assert lines_at(shop_with(tmp_path, record), CLOSED + timedelta(minutes=round(hours * 60))) == said


def test_a_glue_that_nobody_knows_stays_until_it_is_written_down(tmp_path: Path) -> None:
    ask = "neither the shop file nor the kind of glue tells; read the label"
    said = [f"in clamps, nobody knows until when; closed Wednesday 4 March 14:30; {ask}"]
    workshop = shop_with(
        tmp_path, ONE.replace("GLUE", "moon milk"), ONE.replace("GLUE", "moon milk, clamps_off: 2026-03-05 09:00")
    )
    assert lines_at(workshop, CLOSED + timedelta(days=60)) == said
    (unknown, done) = publish_bench_board(workshop, CLOSED + timedelta(days=60)).work
    assert {unknown.serial: unknown.waits, done.serial: done.waits} == {
        "2026-001": ("in clamps, nobody knows how long",), "2026-002": (),
    }  # fmt: skip
    assert publish_bench_board(workshop, CLOSED).ahead == ()


def test_what_is_typical_is_marked_and_a_label_that_tells_half_is_taken_at_its_word(tmp_path: Path) -> None:
    """Yellow glue: half an hour to an hour in clamps, no stress for a day, as the gluing guide of its kind has it."""
    workshop = shop_with(tmp_path, ONE.replace("GLUE", "yellow glue"), ONE.replace("GLUE", "paste"))
    board = publish_bench_board(workshop, CLOSED + timedelta(hours=1))
    assert [in_short(line) for line in board.ready] == [
        "can leave the clamps now; since today 15:30; no load before tomorrow 14:30*"
    ]
    assert [line.says for line in board.resting] == ["in clamps, nobody knows until when"]
    assert board.has_typical_times
    assert [
        (day.day, line.serial, line.says, line.when, line.is_typical) for day in board.ahead for line in day.lines
    ] == [
        ("Wednesday 4 March", "2026-002", "may bear load", "16:30", False),
        ("Thursday 5 March", "2026-001", "may bear load", "14:30", True),
    ]


def coats(*days: str, product: str = "varnish", schedule: str = "varnish") -> str:
    laid = ", ".join(f"{{at: {day}, product: {product}}}" for day in days)
    return f"spec: {{finish: {{schedule: {schedule}}}}}\nbuild: {{coats: [{laid}]}}\n"


@pytest.mark.parametrize(
    ("record", "moment", "said"),
    [
        (coats("2026-03-04 14:00"), "2026-03-05 09:59", ["dries, coat 2 of 2; from today 10:00"]),
        (coats("2026-03-04 14:00"), "2026-03-05 10:00", ["may have coat 2 of 2 now; since today 10:00"]),
        (coats("2026-03-04 14:00", "2026-03-05 14:00"), "2026-03-08 13:59", ["all coats on, cures; until today 14:00"]),
        (coats("2026-03-04 14:00", "2026-03-05 14:00"), "2026-03-08 14:00", []),
        (coats("2026-03-04 14:00", "2026-03-09 14:00"), "2026-03-04 15:00",
         ["dries, coat 2 of 2; from tomorrow 10:00"]),
        (coats("2026-03-04 14:00", product="wax", schedule="wax"), "2026-03-04 15:00",
         ["dries, coat 2; laid today 14:00; the finish schedule names no waiting time for it; read the label"]),
        (coats("2026-03-04 14:00", product="milk"), "2026-03-04 15:00",
         ["dries, coat 1 of 2; laid today 14:00; the finish schedule names no waiting time for it; read the label"]),
    ],
)  # fmt: skip
def test_a_finish_to_the_minute(tmp_path: Path, record: str, moment: str, said: list[str]) -> None:
    assert lines_at(shop_with(tmp_path, record), datetime.fromisoformat(moment)) == said


def test_a_moment_of_the_past_knows_nothing_of_what_came_later(tmp_path: Path) -> None:
    days = "dates: {ordered: 2026-01-05, promised: 2026-03-04, finished: 2026-05-01}\n"
    done = f"{days}build: {{steps: [{{step: Bent, done: 2026-03-05}}]}}\n"
    workshop = shop_with(tmp_path, done, "dates: {ordered: 2026-03-10}\n", "dates: {promised: 2026-03-20}\n")
    early, (late, other), after = (
        results_at(workshop, datetime.fromisoformat(f"{day} 12:00")).work
        for day in ("2026-03-04", "2026-03-06", "2026-05-01")
    )
    assert [(each.serial, each.is_begun, each.next_step, each.days_left) for each in early] == [
        ("2026-001", False, "Bent", 0), ("2026-003", False, None, 16),
    ]  # fmt: skip
    assert [(late.serial, late.is_begun, late.next_step, late.days_left), other.serial] == [
        ("2026-001", True, None, -2), "2026-003",
    ]  # fmt: skip
    assert [each.serial for each in after] == ["2026-003", "2026-002"]
    board = publish_bench_board(workshop, datetime(2026, 3, 15, 12))
    assert [(each.serial, each.state, each.waits, each.due) for each in board.work] == [
        ("2026-001", "ready", (), "11 days late"),
        ("2026-003", "not begun", ("planned",), "5 days left"),
        ("2026-002", "not begun", ("ordered 5 days ago",), ""),
    ]
    assert [(day.day, [line.says for line in day.lines]) for day in board.ahead] == [("Friday 20 March", ["promised"])]


def test_typical_hours_come_from_the_pattern_it_goes_back_to_and_a_ring_of_records_has_none(tmp_path: Path) -> None:
    steps = "build: {steps: [{step: sides  bent}, {step: Strung}, {step: Played}]}\n"
    timed = "[{step: Sides bent, hours: 45 min}, {step: Strung, hours: 2}, {step: Played}]"
    pattern = f"format: 1\nname: Old\nkind: lute\nsteps: {timed}\n"
    workshop = shop_with(
        tmp_path, f"started_from: old\n{steps}", f"started_from: 2026-001\n{steps}", f"started_from: 2026-004\n{steps}",
        f"started_from: 2026-003\n{steps}", patterns__old_yaml=pattern,
    )  # fmt: skip
    work = publish_bench_board(workshop, CLOSED).work
    assert [(each.serial, each.takes, each.left) for each in work] == [
        ("2026-001", "45\u00a0min", "3 steps, 2.75\u00a0h, 1 of them untimed"),
        ("2026-002", "45\u00a0min", "3 steps, 2.75\u00a0h, 1 of them untimed"),
        ("2026-003", "", "3 steps"),
        ("2026-004", "", "3 steps"),
    ]


def room_says(folder: Path, log: str, moment: datetime = CLOSED) -> tuple[str, str, tuple[str, ...]]:
    room = publish_bench_board(shop_with(folder, room_csv=f"time,temperature F,humidity\n{log}"), moment).room
    assert room is not None
    return room.last, room.says, room.outside


def test_the_room_of_the_last_days_against_the_limits_of_the_shop(tmp_path: Path) -> None:
    edge = "2026-02-25 14:29,60,10\n2026-02-25 14:30,60,40\n2026-03-04 14:30,68,50\n2026-03-04 14:31,68,99\n"
    assert room_says(tmp_path / "a", edge) == (
        "today 14:30: 68 °F (20 °C), 50 %", "All 2 readings of the last 7 days within the shop's limits.", (),
    )  # fmt: skip
    many = "".join(f"2026-03-0{day} 08:00,,{39 if day % 2 else 51}\n" for day in range(1, 5)) * 2
    last, says, outside = room_says(tmp_path / "b", many)
    assert (last, says) == ("today 08:00: 51 %", "Outside the shop's limits in the last 7 days:")
    assert outside[:3] == (
        "today 08:00: 51 %, damper than 50 %", "today 08:00: 51 %, damper than 50 %",
        "yesterday 08:00: 39 %, drier than 40 %",
    )  # fmt: skip
    assert outside[-1] == "and 3 more"
    assert room_says(tmp_path / "c", "2025-12-31 08:00,60,\n")[:2] == (
        "Wednesday 31 December 2025 08:00: 60 °F (15.6 °C)", "No reading in the last 7 days.",
    )  # fmt: skip
    assert (
        publish_bench_board(shop_with(tmp_path / "d", room_csv="time,humidity\n2026-04-01 08:00,40 %\n"), CLOSED).room
        is None
    )


def test_the_page_says_the_moment_and_is_the_same_bytes_for_it_and_buyers_know_no_clock(tmp_path: Path) -> None:
    record = (
        f"name: <b>Lute</b>\ndates: {{ordered: 2026-01-05, promised: 2026-03-01}}\n{ONE.replace('GLUE', 'pot glue')}"
    )
    workshop = shop_with(tmp_path, record)
    ready, buyers = prepare(workshop, "shop"), prepare(workshop, "buyer")
    moments = (CLOSED + timedelta(hours=4), CLOSED + timedelta(hours=4), CLOSED + timedelta(hours=5), None)
    pages = [{page.path: page for page in site_of(ready, "shop", at=moment).pages} for moment in moments]
    assert pages[0] == pages[1]
    assert {path for path, page in pages[0].items() if page != pages[2][path]} == {addresses.BENCH}
    bench = pages[0][addresses.BENCH]
    text = " ".join(words(tree(body(bench))).split())
    assert "The bench as it stands on Wednesday 4 March 2026, 18:30, as far as it is written down." in text
    assert "can leave the clamps now since today 18:30 linings and sides with pot glue, 2026-001 <b>Lute</b>" in text
    assert "3 days late" in words(part(bench, "bench-next"))
    titles = [section.title for section in bench.sections if section.title]
    assert titles[:4] == ["Ready now", "Next steps", "The week ahead", "All instruments"]
    assert "as it stands" not in body(pages[3][addresses.BENCH])
    sites = [site_of(buyers, "buyer", at=moment) for moment in (moments[0], None)]
    assert sites[0].pages == sites[1].pages
    assert not any("clamps now" in body(page) for page in sites[0].pages)


def run(*words_said: str) -> tuple[int, str]:
    said = CliRunner().invoke(command_line.boutbook, [*words_said])
    assert said.exception is None or isinstance(said.exception, SystemExit), said.exception
    return said.exit_code, said.output


def test_the_board_in_plain_lines(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    record = (
        "dates: {ordered: 2026-01-05, promised: 2026-03-05}\nbuild:\n  steps: [{step: Strung}]\n  glue_ups:\n"
        + "".join(
            f"    - {{parts: [{parts}], at: 2026-03-04 {clock}, glue: {glue}}}\n"
            for parts, clock, glue in (
                ("linings, sides", "09:00", "pot glue"),
                ("braces, back", "14:00", "yellow glue"),
            )
        )
    )
    shop_with(tmp_path, record, room_csv="time,humidity\n2026-03-04 08:00,38 %\n")
    code, said = run("board", "--at", "2026-03-04 14:30", "--shop", str(tmp_path))
    assert (code, said.replace("\u00a0", " ")) == (0, """\
The bench on Wednesday 4 March 2026, 14:30.

Ready now
  2026-001  linings and sides with pot glue: can leave the clamps now, since today 13:00; no load before tomorrow 09:00

In clamps and drying
  2026-001  braces and back with yellow glue: in clamps, until today 15:00*; no load before tomorrow 14:00

Next steps
  2026-001  Strung; waits: in clamps until today 15:00; 1 day left

The week ahead
  Wednesday 4 March 15:00  2026-001  braces and back: can leave the clamps*
  Thursday 5 March  2026-001  promised
  Thursday 5 March 09:00  2026-001  linings and sides: may bear load
  Thursday 5 March 14:00  2026-001  braces and back: may bear load*

The room
  today 08:00: 38 %. Outside the shop's limits in the last 7 days:
    today 08:00: 38 %, drier than 40 %

* typical of this kind of glue; its label leads.
""")  # fmt: skip
    monkeypatch.setattr(asked, "now", lambda: datetime(2026, 3, 4, 12, 59, 59))
    code, said = run("board", "--shop", str(tmp_path))
    assert "The bench on Wednesday 4 March 2026, 12:59.\n\nIn clamps" in said
    assert "Ready now\n" in run("board", "--at", "13:00", "--shop", str(tmp_path))[1]


@pytest.mark.parametrize(
    ("said", "message"),
    [
        (["board", "--at", "soon"], "--at: «soon» is not a day and a time; write day and time like 2026-03-04 14:30"),
        (["board", "--at", "2026-03-04"],
         "--at: «2026-03-04» is not a day and a time; write day and time like 2026-03-04 14:30"),
        (["board", "--at", "2026-03-04 24:00"],
         "--at: there is no such time as 24:00; write day and time like 2026-03-04 14:30"),
        (["build", "--edition", "shop", "--at", "2026-02-30 09:00"],
         "--at: there is no such day as 2026-02-30; write year-month-day, like 2026-03-06"),
        (["build", "--at", "2026-03-04 14:30"],
         "--at is for the bench board, which buyers do not see; add --edition shop"),
        (["serve", "--at", "2026-03-04 14:30"],
         "--at is for the bench board, which buyers do not see; add --edition shop"),
    ],
)  # fmt: skip
def test_a_moment_that_is_none_is_refused_in_plain_words(tmp_path: Path, said: list[str], message: str) -> None:
    shop_with(tmp_path)
    code, output = run(*said, "--shop", str(tmp_path))
    assert code == 2
    assert output.strip() == f"boutbook: {message}"


def test_a_shop_with_errors_has_no_board_but_all_its_problems(tmp_path: Path) -> None:
    shop_with(tmp_path, "")
    (tmp_path / "records" / "instruments" / "2026-001" / "record.yaml").write_text("format: 1\n", "utf-8")
    code, output = run("board", "--at", "2026-03-04 14:30", "--shop", str(tmp_path))
    assert code == 1
    assert "records/instruments/2026-001/record.yaml:1:1:" in output


def test_the_patterns_of_the_demo_have_steps_with_hours(demo: Workshop) -> None:
    timed = {name for name, pattern in demo.patterns.items() if any(each.hours for each in pattern.steps)}
    assert {"teardrop-28", "tenor-17"} <= timed
    begun = {each.record.started_from for each in demo.instruments if each.record.dates.ordered == date(2026, 6, 15)}
    assert begun <= timed
