"""The calendar of due dates: what its events say, that they stay the same events, and that it speaks the shop's language."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from shop.paper.calendar import KIND_NAMES, DueDate, DueKind, calendar_file
from shop.words import Words
from tests.paper.a_paper import SWEDEN, US

STAMP = datetime(2026, 11, 25, 14, 30, tzinfo=UTC)
NAME = "Blue Door Rag Rugs"


def a_due_date(**given):
    usual = {
        "number": 14,
        "what": "Ready: Hall runner",
        "day": date(2026, 12, 18),
        "kind": DueKind.READY,
        "detail": "For Miriam Oakes",
        "address": "https://bluedoor.example/jobs/14",
        "sequence": 2,
        "stamp": STAMP,
    }
    return DueDate(**(usual | given))


def events(*dates, words=US, **given):
    return Calendar.from_ical(calendar_file(dates, name=NAME, words=words, **given)).walk("VEVENT")


def test_an_event_says_what_is_due_and_where_to_read_more():
    (event,) = events(a_due_date())
    assert event["SUMMARY"] == "Ready: Hall runner"
    assert event["DESCRIPTION"] == "For Miriam Oakes\nhttps://bluedoor.example/jobs/14"
    assert event["URL"] == "https://bluedoor.example/jobs/14"
    assert event["CATEGORIES"].cats == ["Ready"]
    assert event["SEQUENCE"] == 2
    assert event["LAST-MODIFIED"].dt == event["DTSTAMP"].dt == STAMP


@pytest.mark.parametrize("day", [date(2026, 12, 31), date(2028, 2, 28), date(2026, 3, 29)])
def test_an_event_lasts_the_whole_of_its_day_and_takes_up_no_time(day):
    """Also over a year's end, a leap day, and a night without an hour."""
    (event,) = events(a_due_date(day=day))
    assert event["DTSTART"].dt == day
    assert not isinstance(event["DTSTART"].dt, datetime)
    assert event["DTEND"].dt == day + timedelta(days=1)
    assert event["TRANSP"] == "TRANSPARENT"


@pytest.mark.parametrize(
    ("kind", "uid"),
    [
        ("ready", "ready-14@thriftloom"),
        ("offer lapses", "offer-lapses-14@thriftloom"),
        ("begin by", "begin-by-14@thriftloom"),
        ("handover", "handover-14@thriftloom"),
    ],
)
def test_the_uids_are_these_for_ever(kind, uid):
    """A calendar that was read last year knows its events by them."""
    for given_as in (kind, DueKind(kind)):
        (event,) = events(a_due_date(kind=given_as))
        assert event["UID"] == uid


def test_what_is_moved_renamed_and_said_in_another_language_stays_the_same_event():
    before = a_due_date()
    after = replace(
        before,
        what="Klart: Löpare",
        day=date(2027, 1, 8),
        detail="",
        address="",
        sequence=3,
        stamp=STAMP + timedelta(days=9),
    )
    (first,), (second,) = events(before), events(after, words=SWEDEN)
    assert first["UID"] == second["UID"]
    assert (second["SEQUENCE"], second["LAST-MODIFIED"].dt) == (3, STAMP + timedelta(days=9))
    assert second["DTSTART"].dt == date(2027, 1, 8)


def test_each_kind_and_each_number_is_an_event_of_its_own():
    dates = [a_due_date(kind=kind, number=number) for kind in DueKind for number in (1, 11, 2)]
    assert len({event["UID"] for event in events(*dates)}) == 12


def test_what_is_due_on_one_day_stands_in_one_order():
    dates = [a_due_date(kind=kind, number=number) for kind in DueKind for number in (1, 11, 2)]
    assert calendar_file(dates, name=NAME, words=US) == calendar_file(dates[::-1], name=NAME, words=US)


def test_one_thing_twice_is_refused():
    with pytest.raises(ValueError, match="one kind and number"):
        events(a_due_date(), a_due_date(day=date(2027, 1, 1)))


def test_two_shops_can_be_told_apart():
    (event,) = events(a_due_date(), house="bluedoor.example")
    assert event["UID"] == "ready-14@bluedoor.example"


def test_a_stamp_is_written_in_world_time_and_one_without_a_zone_is_refused():
    (event,) = events(a_due_date(stamp=STAMP.astimezone(timezone(timedelta(hours=-5)))))
    assert event["DTSTAMP"].dt == STAMP
    with pytest.raises(ValueError, match="zone"):
        a_due_date(stamp=STAMP.replace(tzinfo=None))


@pytest.mark.parametrize("sequence", [-1, 2**31])
def test_a_sequence_beyond_what_a_calendar_can_hold_is_refused(sequence):
    with pytest.raises(ValueError, match="sequence"):
        a_due_date(sequence=sequence)
    assert a_due_date(sequence=2**31 - 1).sequence == 2**31 - 1


def test_what_is_not_known_is_left_out():
    (event,) = events(a_due_date(detail=" ", address=""))
    assert "DESCRIPTION" not in event
    assert "URL" not in event
    (event,) = events(a_due_date(detail=""))
    assert event["DESCRIPTION"] == event["URL"]


def test_it_is_to_subscribe_to_and_called_after_the_shop():
    calendar = Calendar.from_ical(calendar_file([a_due_date()], name=NAME, words=US))
    assert "METHOD" not in calendar
    assert calendar["X-WR-CALNAME"] == "Due dates of Blue Door Rag Rugs"


def test_every_word_of_its_own_goes_through_the_catalogue(monkeypatch):
    heard = set()

    def say(_words, msgid, /, **values):
        heard.add(msgid)
        return f"¤{len(msgid)} {values.get('shop', '')}".strip()

    monkeypatch.setattr(Words, "say", say)
    dates = [a_due_date(kind=kind) for kind in DueKind]
    calendar = Calendar.from_ical(calendar_file(dates, name=NAME, words=US))
    assert heard == {"Due dates of %(shop)s", *KIND_NAMES.values()}
    assert calendar["X-WR-CALNAME"] == "¤21 Blue Door Rag Rugs"
    said = {cat for event in calendar.walk("VEVENT") for cat in event["CATEGORIES"].cats}
    assert said == {f"¤{len(name)}" for name in KIND_NAMES.values()}


@given(
    st.lists(
        st.builds(
            a_due_date,
            number=st.integers(1, 9),
            kind=st.sampled_from(DueKind),
            day=st.dates(date(2000, 1, 1), date(2100, 1, 1)),
            what=st.text(max_size=20),
        ),
        unique_by=lambda due: due.uid(),
        max_size=8,
    ).flatmap(lambda dates: st.tuples(st.just(dates), st.permutations(dates)))
)
def test_the_same_dates_give_the_same_bytes_in_whatever_order(orders):
    first, second = (calendar_file(dates, name=NAME, words=US) for dates in orders)
    assert first == second
    days = [event["DTSTART"].dt for event in Calendar.from_ical(first).walk("VEVENT")]
    assert days == sorted(due.day for due in orders[0])
