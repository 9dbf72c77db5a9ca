"""The calendar file against a general-purpose iCalendar library (RFC 5545).

Usage: calendar_check.py PROGRAM
"""

import datetime
import subprocess
import sys
import tempfile
from pathlib import Path

import icalendar

program = sys.argv[1]
for demo in ["hollin-croft", "mango-yard-school", "high-larch-farm", "laboratory-batch"]:
    with tempfile.TemporaryDirectory() as folder:
        plan = Path(folder) / "plan.toml"
        plan.write_bytes(subprocess.check_output([program, "demo", demo]))
        ask = [program, "diary", str(plan), "calendar", "--from", "2026-05-01", "--days", "200"]
        raw = subprocess.check_output(ask)
    calendar = icalendar.Calendar.from_ical(raw)
    assert not calendar.errors, calendar.errors
    events = calendar.walk("VEVENT")
    assert events, demo
    names = [str(e["UID"]) for e in events]
    assert len(set(names)) == len(names), f"{demo}: a name twice"
    for event in events:
        assert not event.errors, event.errors
        start, end = event.decoded("DTSTART"), event.decoded("DTEND")
        assert type(start) is datetime.date and (end - start).days == 1, event
        first = datetime.date(2026, 5, 1)
        assert first <= start < first + datetime.timedelta(days=200), start
        assert event.decoded("DTSTAMP").tzinfo is not None
        assert str(event["SUMMARY"]) and "\\" not in str(event["DESCRIPTION"])
        assert event.walk("VALARM")[0].decoded("TRIGGER") == datetime.timedelta(hours=8)
    # The library writes the same lines, folded where it likes.
    flat = raw.replace(b"\r\n ", b"")
    for event in events:
        assert event["DESCRIPTION"].to_ical() in flat, event["DESCRIPTION"]
    print(f"{demo}: {len(events)} events, as icalendar {icalendar.__version__} reads them")
