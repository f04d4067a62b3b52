"""Minutes of a lot from steady clocks. Kind: law; wall clocks against `datetime` (oracle)."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wortline.lot.clock import civil, clock_text, moments
from wortline.lot.events import ClockAdjusted, Entry, Noted, Started, Steady

ZERO_MS = 1_835_445_600_000


def entry(number, minute, device="phone", session="p1", wall_ms=None, event=None, **more):
    wall = ZERO_MS + round(minute * 60_000) if wall_ms is None else wall_ms
    steady = Steady(session, more.pop("steady_min", 100.0 + minute))
    return Entry(f"e{number}", device, number, wall, 60, steady, event or Noted("x"),
                 number=number, **more)  # fmt: skip


def test_minutes_do_not_move_when_the_wall_clock_does() -> None:
    first = entry(1, 0.0, event=Started("L"))
    # Summer time begins, someone sets the clock a day back, the zone changes: nothing moves.
    moved = [
        entry(2, 30.0, wall_ms=ZERO_MS + 90 * 60_000),
        entry(3, 45.0, wall_ms=ZERO_MS - 86_400_000),
        entry(4, 60.0, wall_ms=ZERO_MS),
    ]
    at = moments([first, *moved])
    assert [at[f"e{i}"].min for i in (1, 2, 3, 4)] == [0.0, 30.0, 45.0, 60.0]
    assert {at[f"e{i}"].trust for i in (1, 2, 3, 4)} == {"sure"}


def test_a_device_that_slept_gets_its_minutes_back() -> None:
    slept = ClockAdjusted(12.5, "device slept")
    entries = [entry(1, 0.0), entry(2, 10.0, event=slept), entry(3, 11.0)]
    at = moments(entries)
    assert [at[f"e{i}"].min for i in (1, 2, 3)] == [0.0, 22.5, 23.5]


def test_a_second_device_is_tied_by_the_shortest_delay_over_the_server() -> None:
    # Server clock runs at lot minute + 1000. The tablet's clock at lot minute + 7.
    def kept(minute, delay_min):
        return Steady("boot", 1000.0 + minute + delay_min)

    entries = [
        entry(1, 0.0, server=kept(0.0, 0.001)),
        entry(2, 20.0, "tablet", "t1", steady_min=27.0, server=kept(20.0, 9.0)),
        entry(3, 40.0, "tablet", "t1", steady_min=47.0, server=kept(40.0, 0.001)),
        entry(4, 41.0, server=kept(41.0, 30.0)),
    ]
    at = moments(entries)
    # The nine minutes in the tablet's queue do not count: its shortest delay ties it.
    assert at["e2"].min == pytest.approx(20.0, abs=1e-9)
    assert at["e3"].min == pytest.approx(40.0, abs=1e-9)
    assert at["e2"].trust == "fair"
    assert at["e4"].min == 41.0


def test_a_phone_started_again_goes_on_with_a_new_steady_clock() -> None:
    entries = [
        entry(1, 0.0, server=Steady("boot", 500.0)),
        entry(2, 90.0, session="p2", steady_min=0.5, server=Steady("boot", 590.0)),
    ]
    assert moments(entries)["e2"].min == pytest.approx(90.0)


def test_without_a_server_wall_clocks_tie_and_say_so() -> None:
    entries = [
        entry(1, 0.0),
        entry(2, 5.0, event=ClockAdjusted(60.0, "clock set"), wall_ms=ZERO_MS + 65 * 60_000),
        entry(3, 30.0, session="p2", steady_min=1.0, wall_ms=ZERO_MS + 90 * 60_000),
    ]
    at = moments(entries)
    assert at["e3"].min == pytest.approx(30.0)
    assert at["e3"].trust == "guess"


def test_paper_entries_have_the_time_written_beside_them_or_none() -> None:
    entries = [
        entry(1, 0.0, event=Started("L")),
        entry(2, 600.0, paper=True, written_ms=ZERO_MS - 3_600_000),
        entry(3, 600.5, paper=True, written_ms=ZERO_MS - 1_800_000),
        entry(4, 601.0, paper=True),
    ]
    at = moments(entries)
    assert (at["e2"].min, at["e3"].min, at["e4"].min) == (0.0, 30.0, None)
    assert at["e4"].trust == "none"


@given(st.integers(0, 253_402_300_799_000), st.integers(-720, 840))
def test_the_calendar_is_that_of_datetime(wall_ms: int, zone_min: int) -> None:
    zone = timezone(timedelta(minutes=zone_min))
    instant = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(milliseconds=wall_ms)
    if not (1970 <= instant.year < 9999):
        return
    local = instant.astimezone(zone)
    parts = (local.year, local.month, local.day, local.hour, local.minute, local.second)
    assert civil(wall_ms, zone_min) == parts


def test_29_february_is_a_day() -> None:
    wall_ms = round(datetime(2028, 2, 29, 23, 30, tzinfo=UTC).timestamp() * 1000)
    assert clock_text(wall_ms) == "2028-02-29 23:30"
    assert clock_text(wall_ms, 60) == "2028-03-01 00:30"
