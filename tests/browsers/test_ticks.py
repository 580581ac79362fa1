"""What a person has ticked survives whatever happens to page, browser and phone."""

from __future__ import annotations

from tests.browsers.engine import Engine
from tests.browsers.sheets import Sheets
from tests.browsers.shifted import shifted
from tests.web.host import Host

HOUR_MS = 3_600_000


def test_a_tick_is_shown_and_stands_in_the_log(sheets: Sheets) -> None:
    sheets.open()
    first, second = sheets.items(2)
    sheets.tick(second)
    sheets.tick(first)
    assert sheets.kept() == [second, first]
    sheets.is_ticked(first, second)


def test_ticks_survive_a_reload(sheets: Sheets) -> None:
    sheets.open()
    first, second = sheets.items(2)
    sheets.tick(first)
    sheets.tick(second)
    sheets.reload()
    sheets.is_ticked(first, second)


def test_ticks_survive_a_restart_of_the_browser(sheets: Sheets, engine: Engine) -> None:
    sheets.open()
    (item,) = sheets.items(1)
    sheets.tick(item)
    engine.quit()
    engine.start()
    sheets.open()
    sheets.is_ticked(item)


def test_killed_in_the_middle_of_writing_the_log_is_whole_and_the_tick_is_there_or_not(
    sheets: Sheets, engine: Engine, host: Host
) -> None:
    """What was on disk stays; what the page had just been asked to keep may be lost, but never by half."""
    sheets.open()
    first, second, third = sheets.items(3)
    sheets.tick(first)
    sheets.tap(second)
    sheets.tap(third)
    engine.kill()
    host.kill()
    engine.start()
    sheets.open()
    kept = sheets.kept()
    assert kept in ([first], [first, second], [first, second, third])
    sheets.is_ticked(*kept)
    lost = next((item for item in (second, third) if item not in kept), None)
    if lost:
        sheets.tick(lost)
        assert sheets.kept() == [*kept, lost]


def test_two_tabs_keep_one_take_and_show_each_other_s_ticks(sheets: Sheets, engine: Engine) -> None:
    sheets.open()
    first, second, third = sheets.items(3)
    engine.new_tab()
    sheets.open()
    sheets.tick(first)
    engine.turn_to(0)
    sheets.is_ticked(first)
    sheets.tick(second)
    engine.turn_to(1)
    sheets.is_ticked(first, second)
    sheets.tick(third)
    assert sheets.kept() == [first, second, third]
    engine.turn_to(0)
    sheets.is_ticked(first, second, third)


def test_with_the_storage_full_it_is_said_what_is_kept_stays_and_pages_open(
    sheets: Sheets, engine: Engine, host: Host
) -> None:
    sheets.open()
    first, second = sheets.items(2)
    sheets.tick(first)
    print(f"{engine.name}: filled by {engine.fills_by}")
    engine.fill_up(host.url("/"))
    sheets.open()
    sheets.is_ticked(first)
    sheets.tap(second)
    assert "storage is full" in sheets.said_fault()
    sheets.is_ticked(first)
    assert sheets.kept() == [first]
    host.kill()
    for path in ("", "kit/", "shots/jetty/"):
        sheets.open(path)
    engine.quit()
    engine.start()
    sheets.open()
    sheets.is_ticked(first)
    sheets.tick(second)
    assert sheets.kept() == [first, second]


def test_a_clock_that_is_set_during_a_take_loses_no_tick_and_begins_no_other_take(
    sheets: Sheets, engine: Engine
) -> None:
    sheets.open()
    items = sheets.items(4)
    sheets.tick(items[0])
    for item, hours in zip(items[1:], (-2, -2, 5), strict=True):
        engine.before(shifted(hours * HOUR_MS))
        sheets.reload()
        sheets.tick(item)
    assert sheets.kept() == items
    moments = [event["utc_ms"] for event in sheets.log()]
    assert moments != sorted(moments), "the log holds what the phone's clock said"
    sheets.reload()
    sheets.is_ticked(*items)
