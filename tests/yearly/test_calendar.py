"""The calendar: read back by a second parser (vobject), still between runs, its check a check."""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest
import vobject
from hypothesis import example, given
from hypothesis import strategies as st

from advisor.advice.book import Advice
from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.base.text import control_in
from advisor.render.yearly.calendar_check import check_calendar
from advisor.render.yearly.calendar_events import REMIND_DAYS, Event
from advisor.render.yearly.calendar_feed import write_calendar
from advisor.render.yearly.calendar_file import calendar_bytes
from advisor.render.yearly.calendar_memory import (
    MEMORY_FILE,
    Remembered,
    read_memory,
    remember,
    write_memory,
)
from advisor.render.yearly.calendar_plan import events_of

ON = dt.date(2026, 9, 5)
DAY = dt.timedelta(days=1)
EVENT = Event(
    uid="8582c4c8-733c-564f-8cb3-df3a1423b0e3",
    start=dt.date(2026, 10, 13),
    end=dt.date(2026, 11, 10),
    by=dt.date(2026, 10, 29),
    summary="Ready for winter: in season",
    text="Opens about 13 Oct.\nMind: hoses, cords; back\\slash.",
)
TEXT = st.text(
    # What the format cannot carry is left out, as the test of control characters says.
    st.characters(
        blacklist_categories=("Cs", "Cc"), blacklist_characters="\u2028\u2029\x85"
    ).filter(lambda c: control_in(c) is None),
    max_size=200,
).map(lambda text: f"a{text}b")


def first(event, on=ON):
    return remember({}, [event], on)


def later(before, event, on):
    return remember(before, [event] if event else [], on)


def test_the_demo_calendar_is_read_back_without_loss(demo_year):
    wanted = events_of(demo_year.advice)
    assert len(wanted) >= 5
    raw = calendar_bytes("Demo", remember({}, wanted, ON).values())
    assert check_calendar(raw) == ()
    found = {e.uid.value: e for e in vobject.readOne(raw.decode()).vevent_list}
    assert len(found) == len(wanted)
    for event in wanted:
        read = found[event.uid]
        assert read.summary.value == event.summary
        assert read.description.value == event.description
        assert (read.dtstart.value, read.dtend.value) == (event.start, event.end)
        assert read.sequence.value == "0"
        assert read.transp.value == "TRANSPARENT"
        assert read.dtstamp.value == dt.datetime(2026, 9, 5, tzinfo=dt.UTC)
        if event.by is not None:
            rings = dt.datetime.combine(event.end, dt.time()) + read.valarm.trigger.value
            assert rings.date() == event.by - dt.timedelta(days=REMIND_DAYS)
            assert 7 <= rings.hour <= 20
            assert read.valarm.trigger.params["RELATED"] == ["END"]


@example(r"a\Nb", r"C:\Notes; \n, \\N")
@given(TEXT, TEXT)
def test_any_text_survives_the_second_parser(summary, text):
    event = replace(EVENT, summary=summary, text=f"{text}\n{summary}")
    raw = calendar_bytes("Any", first(event).values())
    assert check_calendar(raw) == ()
    read = vobject.readOne(raw.decode()).vevent
    assert read.summary.value == event.summary
    assert read.description.value == event.text


def test_control_characters_are_left_out():
    event = replace(EVENT, summary="a\x00b\x07c\rd\x9b\u202e", text="e\x1bf")
    raw = calendar_bytes("\x01", first(event).values())
    assert check_calendar(raw) == ()
    assert vobject.readOne(raw.decode()).vevent.summary.value == "abcd"


def later_by(year, days):
    """The same data on a later day."""
    return dataclasses.replace(year, advice=Advice(replace(year.case, on=ON + days)))


def test_a_second_run_is_byte_identical(demo_year, tmp_path):
    for name in ("one.ics", "two.ics"):
        write_calendar(demo_year, tmp_path / name, tmp_path)
    assert (tmp_path / "one.ics").read_bytes() == (tmp_path / "two.ics").read_bytes()
    # The same data on a later day: nothing moves, so nothing is stamped anew.
    write_calendar(later_by(demo_year, DAY), tmp_path / "three.ics", tmp_path)
    assert (tmp_path / "three.ics").read_bytes() == (tmp_path / "one.ics").read_bytes()


@pytest.mark.parametrize("days", [-3, -1, 1, 4])
def test_a_shift_however_small_is_shown(days):
    """Every view names one day for a job, so the calendar may not keep yesterday's."""
    shifted = replace(EVENT, start=EVENT.start + days * DAY, end=EVENT.end + days * DAY)
    after = later(first(EVENT), shifted, ON + DAY)[EVENT.uid]
    assert (after.event, after.sequence, after.revised) == (shifted, 1, ON + DAY)


def test_the_same_again_changes_nothing():
    assert later(first(EVENT), EVENT, ON + DAY) == first(EVENT)


def test_what_falls_away_is_cancelled_comes_back_and_is_dropped_in_the_end():
    memory = later(first(EVENT), None, ON + DAY)
    assert (memory[EVENT.uid].status, memory[EVENT.uid].sequence) == ("CANCELLED", 1)
    assert b"STATUS:CANCELLED" in calendar_bytes("x", memory.values())
    assert b"VALARM" not in calendar_bytes("x", memory.values())
    assert later(memory, None, ON + 2 * DAY) == memory
    back = later(memory, EVENT, ON + 3 * DAY)[EVENT.uid]
    assert (back.status, back.sequence) == ("CONFIRMED", 2)
    assert later(memory, None, EVENT.end + 61 * DAY) == {}


def test_a_season_that_is_over_is_not_cancelled():
    memory = later(first(EVENT), None, EVENT.end)
    assert memory[EVENT.uid].status == "CONFIRMED"
    assert later(memory, None, EVENT.end + 61 * DAY) == {}


@given(
    st.lists(
        st.tuples(st.integers(-20, 20), st.integers(0, 30), st.booleans(), st.integers(-2, 9)),
        max_size=12,
    )
)
def test_sequence_and_revision_never_go_down(story):
    memory, on = first(EVENT), ON
    for shift, longer, wanted, days in story:
        on += days * DAY
        event = replace(
            EVENT, start=EVENT.start + shift * DAY, end=EVENT.end + (shift + longer) * DAY
        )
        after = later(memory, event if wanted else None, on)
        for uid, old in memory.items():
            if uid not in after:
                continue
            new = after[uid]
            assert new.sequence - old.sequence in (0, 1)
            assert new.revised >= old.revised
            changed = (new.event.start, new.event.end, new.status) != (
                old.event.start, old.event.end, old.status,
            )  # fmt: skip
            assert (new.sequence > old.sequence) == changed
            assert (new == old) or new.revised >= min(on, new.revised)
        memory = after
    assert check_calendar(calendar_bytes("x", memory.values())) == ()


def test_the_memory_is_read_back(tmp_path, demo_year):
    events = remember({}, events_of(demo_year.advice), ON)
    write_memory(tmp_path, events)
    assert read_memory(tmp_path) == events
    assert [path.name for path in tmp_path.iterdir()] == [MEMORY_FILE]


@pytest.mark.parametrize(
    "text",
    ["", "[]", "{", '{"format": 2, "events": {}}', '{"format": 1, "events": {"a": {}}}', "\x00"],
)
def test_a_damaged_memory_is_named(tmp_path, text):
    (tmp_path / MEMORY_FILE).write_text(text, encoding="utf-8")
    with pytest.raises(BadInput, match="no memory of a calendar"):
        read_memory(tmp_path)


def test_uids_depend_on_no_date(demo_year):
    """A week later the same seasons keep their names."""
    shifted = {e.uid for e in events_of(later_by(demo_year, 7 * DAY).advice)}
    assert shifted == {e.uid for e in events_of(demo_year.advice)}


SOUND = calendar_bytes("Sound", first(EVENT).values())


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        (b"VERSION:2.0\r\n", b"", "VERSION"),
        (b"VERSION:2.0\r\n", b"VERSION:2.0\r\nMETHOD:PUBLISH\r\n", "METHOD"),
        (b"REFRESH-INTERVAL;VALUE=DURATION", b"REFRESH-INTERVAL", "VALUE=DURATION"),
        (b"DURATION:P1D", b"DURATION:P", "no positive duration"),
        (b"DTEND;VALUE=DATE:20261110", b"DTEND;VALUE=DATE:20261013", "exclusive"),
        (b"DTSTART;VALUE=DATE:20261013", b"DTSTART:20261013T000000", "not of one kind"),
        (b"DTSTART;VALUE=DATE:", b"DTSTART;TZID=Europe/Paris;VALUE=DATE:", "TZID"),
        (b"20261110", b"20261399", "neither a date nor a time"),
        (b"DTSTAMP:20260905T000000Z", b"DTSTAMP:20260905T000000", "UTC"),
        (b"SEQUENCE:0", b"SEQUENCE:-1", "SEQUENCE"),
        (b"STATUS:CONFIRMED", b"STATUS:MAYBE", "STATUS"),
        (b"TRANSP:TRANSPARENT", b"TRANSP:OPAQUE", "block time"),
        (b"UID:", b"X-UID:", "UID must stand exactly once"),
        (b"SUMMARY:", b"SUMMARY:x\r\nSUMMARY:", "SUMMARY must stand exactly once"),
        (b"TRIGGER;", b"X-TRIGGER;", "TRIGGER"),
        (b"ACTION:DISPLAY", b"ACTION:EMAIL", "DISPLAY"),
        (b"END:VALARM\r\n", b"", "closes nothing"),
        (b"END:VCALENDAR\r\n", b"", "not closed"),
        (b"BEGIN:VALARM", b"BEGIN:VTODO", "closes nothing"),
        (b"SUMMARY:Ready", b"SUMMARY:R\x07eady", "control character"),
        (b"SUMMARY:Ready", b"SUMMARY:" + b"Ready" * 20, "octets"),
        (b"SUMMARY:Ready", b"SUMMARY:\xffReady", "UTF-8"),
        (b"VERSION:2.0\r\n", b"VERSION:2.0\n", "CRLF"),
        (b"NAME:Sound", b"no line of content", "not a content line"),
    ],
)
def test_the_check_finds_each_fault(old, new, fault):
    assert check_calendar(SOUND) == ()
    broken = SOUND.replace(old, new, 1)
    assert broken != SOUND
    assert any(fault in found for found in check_calendar(broken)), check_calendar(broken)


def test_the_check_finds_a_uid_used_twice():
    twice = [Remembered(EVENT, "CONFIRMED", 0, ON)] * 2
    assert any("share a UID" in found for found in check_calendar(calendar_bytes("x", twice)))
