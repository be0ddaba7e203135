"""Calendar files held against the rules of RFC 5545, read by hand here, and read back by a library.

The rules are written from memory of the standard, each with its section: lines end with CR and LF and have at most 75
octets, a longer one goes on after a space (3.1); commas, semicolons, backslashes and new lines of a text are escaped
(3.3.11); a calendar needs PRODID, VERSION and something inside (3.6, 3.7); an event needs UID and DTSTAMP (3.6.1), and the
end of a whole day is the next day (3.6.1, 3.8.2.2).
"""

import re
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from shop.paper.calendar import DueDate, DueKind, calendar_file
from tests.paper.a_paper import SWEDEN, US

STAMP = datetime(2026, 11, 25, 14, 30, tzinfo=UTC)
AWKWARD = [
    "one, two; three",
    "first\nsecond\r\nthird\rfourth",
    "C:\\New\\notes \\, \\; \\n",
    "Trasmatta i blått – åäö, 綴れ織り, 🧶" * 9,
    "å" * 200,
    "x" * 63,
    "x" * 64,
    " begins and ends with spaces ",
    'a "quoted": part=1',
    "END:VEVENT\nBEGIN:VEVENT",
    "",
]
NAME = r"[A-Z0-9-]+"
CONTENT_LINE = re.compile(rf'({NAME})((?:;{NAME}=(?:"[^"]*"|[^";:,]*))*):(.*)', re.DOTALL)
EVENT_ONCE = ["UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY", "SEQUENCE", "LAST-MODIFIED"]


def a_file(*dates, words=US, name="Blue Door Rag Rugs"):
    return calendar_file(dates, name=name, words=words)


def a_due_date(**given):
    usual = {
        "number": 7,
        "what": "Handover: Kitchen mat",
        "day": date(2026, 12, 31),
        "kind": DueKind.HANDOVER,
        "stamp": STAMP,
    }
    return DueDate(**(usual | given))


def content_lines(file):
    """The lines of a file as (name, parameters, value), unfolded; the rules of section 3.1 hold."""
    assert file.endswith(b"\r\n")
    raw = file[:-2].split(b"\r\n")
    unfolded = []
    for line in raw:
        assert b"\r" not in line
        assert b"\n" not in line
        assert 0 < len(line) <= 75
        line.decode("utf-8")  # no sign is broken by a fold
        assert not re.search(rb"[\x00-\x08\x0a-\x1f\x7f]", line)
        if line.startswith(b" "):
            unfolded[-1] += line[1:]
        else:
            unfolded.append(line)
    matches = [CONTENT_LINE.fullmatch(line.decode("utf-8")) for line in unfolded]
    assert all(matches)
    return [match.groups() for match in matches]


def unescaped(text):
    """A text as section 3.3.11 has it, read back; nothing stands in it that must be escaped and is not."""
    assert re.fullmatch(r"(?:\\[\\;,nN]|[^\\;,])*", text)
    return re.sub(r"\\(.)", lambda found: "\n" if found[1] in "nN" else found[1], text)


def one_line_each(text):
    return text.replace("\r\n", "\n").replace("\r", "\n")


def components(lines):
    """Each component with its path and its properties; they are properly nested."""
    path, opened, found = [], [], []
    for name, parameters, value in lines:
        if name == "BEGIN":
            path.append(value)
            opened.append([])
            found.append((tuple(path), opened[-1]))
        elif name == "END":
            assert path.pop() == value
            opened.pop()
        else:
            opened[-1].append((name, parameters, value))
    assert not path
    return found


def properties_of(file, *path):
    return [properties for where, properties in components(content_lines(file)) if where == path]


def check_calendar(file):
    """What sections 3.6 and 3.7 want of a calendar, and what one to subscribe to must not have."""
    (head,) = properties_of(file, "VCALENDAR")
    names = [name for name, _, _ in head]
    assert names.count("PRODID") == names.count("VERSION") == names.count("X-WR-CALNAME") == 1
    assert ("VERSION", "", "2.0") in head
    assert "METHOD" not in names
    assert any("Thriftloom" in value for name, _, value in head if name == "PRODID")
    assert len(components(content_lines(file))) > 1


def check_event(properties):
    """What section 3.6.1 wants of an event of a whole day."""
    names = [name for name, _, _ in properties]
    assert [names.count(name) for name in EVENT_ONCE] == [1] * len(EVENT_ONCE)
    found = {name: (parameters, value) for name, parameters, value in properties}
    for name in ("DTSTAMP", "LAST-MODIFIED"):
        assert found[name] == ("", "20261125T143000Z")
    begin, end = (found[name] for name in ("DTSTART", "DTEND"))
    assert begin[0] == end[0] == ";VALUE=DATE"
    days = [datetime.strptime(value, "%Y%m%d").date() for _, value in (begin, end)]  # noqa: DTZ007 - a date alone
    assert days[1] - days[0] == timedelta(days=1)
    assert re.fullmatch(r"\d+", found["SEQUENCE"][1])
    assert "DURATION" not in names


def test_a_calendar_of_every_kind_keeps_the_rules():
    dates = [a_due_date(kind=kind, detail="2 rugs, 1 mat", address="https://x.example/a") for kind in DueKind]
    file = a_file(*dates)
    check_calendar(file)
    found = properties_of(file, "VCALENDAR", "VEVENT")
    assert len(found) == 4
    for properties in found:
        check_event(properties)
    uids = [value for properties in found for name, _, value in properties if name == "UID"]
    assert len(set(uids)) == 4


@pytest.mark.parametrize("words", [US, SWEDEN])
def test_a_calendar_without_dates_keeps_the_rules(words):
    """Section 3.6 wants at least one component, which is a time zone here with all that 3.6.5 wants of one."""
    file = a_file(words=words)
    check_calendar(file)
    assert properties_of(file, "VCALENDAR", "VEVENT") == []
    assert properties_of(file, "VCALENDAR", "VTIMEZONE") == [[("TZID", "", "UTC")]]
    (standard,) = properties_of(file, "VCALENDAR", "VTIMEZONE", "STANDARD")
    assert sorted(standard) == [
        ("DTSTART", "", "19700101T000000"),
        ("TZOFFSETFROM", "", "+0000"),
        ("TZOFFSETTO", "", "+0000"),
    ]
    assert Calendar.from_ical(file).walk("VEVENT") == []


@pytest.mark.parametrize("text", AWKWARD)
def test_awkward_text_comes_back_as_it_was(text):
    file = a_file(a_due_date(what=text, detail=f"a{text}z"), name=text)
    check_calendar(file)
    (properties,) = properties_of(file, "VCALENDAR", "VEVENT")
    check_event(properties)
    found = {name: unescaped(value) for name, _, value in properties}
    assert found["SUMMARY"] == one_line_each(text)
    assert found["DESCRIPTION"] == f"a{one_line_each(text)}z"
    (head,) = properties_of(file, "VCALENDAR")
    name = next(unescaped(value) for name, _, value in head if name == "X-WR-CALNAME")
    assert name == f"Due dates of {one_line_each(text)}"


@pytest.mark.parametrize("text", [text for text in AWKWARD if "\\" not in text])
def test_a_library_reads_the_text_back(text):
    (event,) = Calendar.from_ical(a_file(a_due_date(what=text))).walk("VEVENT")
    assert event["SUMMARY"] == one_line_each(text)


@given(st.text(max_size=200), st.text(max_size=200))
def test_any_text_keeps_the_rules_and_comes_back_but_for_its_control_signs(what, detail):
    file = a_file(a_due_date(what=what, detail=detail))
    check_calendar(file)
    (properties,) = properties_of(file, "VCALENDAR", "VEVENT")
    check_event(properties)
    summary = next(unescaped(value) for name, _, value in properties if name == "SUMMARY")
    controls = dict.fromkeys((*range(9), *range(11, 32), *range(127, 160)))
    assert summary == one_line_each(what).translate(controls)


@pytest.mark.parametrize(
    ("given_as", "written"),
    [
        ("https://x.example/a?b=1,2;3&c=d#e", "https://x.example/a?b=1,2;3&c=d#e"),
        ("https://x.example/blå matta", "https://x.example/bl%C3%A5%20matta"),
        ("https://x.example/%20", "https://x.example/%20"),
        ("https://x.example/\r\nBEGIN:VEVENT", "https://x.example/%0D%0ABEGIN:VEVENT"),
        ("https://x.example/" + "a" * 300, "https://x.example/" + "a" * 300),
    ],
)
def test_an_address_is_written_as_it_is_but_for_what_no_address_has(given_as, written):
    """A URI is no text: its commas are not escaped (3.3.13); other signs stand in per cent (RFC 3986, from memory)."""
    file = a_file(a_due_date(address=given_as))
    (properties,) = properties_of(file, "VCALENDAR", "VEVENT")
    assert ("URL", "", written) in properties
    assert Calendar.from_ical(file).walk("VEVENT")[0]["URL"] == written


def test_what_one_event_holds():
    """All of it, so that a change of what is written does not pass unseen."""
    (properties,) = properties_of(a_file(a_due_date(detail="Bring, please")), "VCALENDAR", "VEVENT")
    assert sorted(properties) == [
        ("CATEGORIES", "", "Handover"),
        ("DESCRIPTION", "", "Bring\\, please"),
        ("DTEND", ";VALUE=DATE", "20270101"),
        ("DTSTAMP", "", "20261125T143000Z"),
        ("DTSTART", ";VALUE=DATE", "20261231"),
        ("LAST-MODIFIED", "", "20261125T143000Z"),
        ("SEQUENCE", "", "0"),
        ("SUMMARY", "", "Handover: Kitchen mat"),
        ("TRANSP", "", "TRANSPARENT"),
        ("UID", "", "handover-7@thriftloom"),
    ]
