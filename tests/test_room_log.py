"""The room log as written by hand and by loggers; every slip at its line and column."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.problems import CODES
from builder.reading.room_log import MOST_PROBLEMS, read_room_log
from builder.shop.room_log import RoomEntry, RoomLog

MOMENT = datetime(2026, 3, 4, 14, 30)


@pytest.mark.parametrize(
    "text",
    [
        "time,temperature,humidity\n2026-03-04 14:30,68 F,44 %\n",
        "\ufefftime,temperature F,humidity\r\n2026-03-04 14:30,68,44\r\n",
        'humidity;"temperature (°C)";dew point;Time\n# by the window\n\n44;20;7;"2026-03-04T14:30:05"\n',
        "time\ttemperature\thumidity\n2026-03-04 14:30\t20 °C\t44%\n",
    ],
)
def test_one_entry_in_many_hands(text: str) -> None:
    log, problems = read_room_log(text.encode(), "records/room.csv")
    assert not problems
    assert log is not None
    assert log.entries == (RoomEntry(MOMENT, log.entries[0].temperature, log.entries[0].humidity),)
    assert (log.entries[0].temperature, log.entries[0].humidity) == pytest.approx((20.0, 44.0))


@pytest.mark.parametrize(
    ("text", "code", "line", "column"),
    [
        ("time,temperature,humidity\n2026-03-04 14:30,68 F,140 %\n", "out-of-range", 2, 23),
        ("time,temperature\n2026-03-04 14:30,68\n", "not-understood", 2, 18),
        ("time,humidity\n,44 %\n", "missing-key", 2, 1),
        ("time,humidity\n4/3/2026,44 %\n", "not-understood", 2, 1),
        ("tme,humidity\n2026-03-04 14:30,44 %\n", "missing-key", 1, 1),
        ("time,time,humidity\n", "duplicate-key", 1, 6),
        ("2026-03-04 14:30,44 %\n", "missing-key", 1, 1),
        ("time,humidity\n2026-03-04 14:30,4\x004 %\n", "control-character", 2, 18),
        ("", "unreadable-file", 0, 0),
    ],
)
def test_a_slip_is_told_at_its_place(text: str, code: str, line: int, column: int) -> None:
    _, problems = read_room_log(text.encode(), "records/room.csv")
    assert [(each.code, each.line, each.column) for each in problems] == [(code, line, column)]


def test_a_bad_line_does_not_lose_the_others_and_many_are_told_once() -> None:
    log, problems = read_room_log(b"time,humidity\n" + b"bad,1\n" * 100 + b"2026-03-04 14:30,44\n", "room.csv")
    assert log is not None
    assert len(log.entries) == 1
    assert len(problems) == MOST_PROBLEMS + 1
    assert problems[-1].message.startswith(f"{100 - MOST_PROBLEMS} more")


@given(
    st.one_of(
        st.binary(max_size=200),
        st.text(max_size=200).map(lambda text: f"time,humidity\n{text}".encode("utf-8", "replace")),
    )
)
def test_no_bytes_raise(content: bytes) -> None:
    _, problems = read_room_log(content, "room.csv")
    assert all(each.code in CODES for each in problems)


@given(st.lists(st.integers(-5000, 5000), max_size=30), st.integers(-5000, 5000))
def test_the_nearest_entry_by_looking_at_all(minutes: list[int], moment: int) -> None:
    log = RoomLog(tuple(RoomEntry(MOMENT + timedelta(minutes=each)) for each in sorted(minutes)))
    found = log.nearest(MOMENT + timedelta(minutes=moment), 6)
    near = [abs(each - moment) for each in minutes if abs(each - moment) <= 360]
    assert (found is None) == (not near)
    if found:
        assert abs(found.at - MOMENT - timedelta(minutes=moment)) == timedelta(minutes=min(near))
