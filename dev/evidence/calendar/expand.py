#!/usr/bin/env python3
"""Reads calendars that setwright wrote with a library that shares nothing with it, and compares every instant.

Usage: expand.py PROGRAM. Needs icalendar and recurring-ical-events (check.sh installs them)."""

import datetime as dt
import subprocess
import sys
import tempfile
from pathlib import Path
from zoneinfo import ZoneInfo

import icalendar
import recurring_ical_events

SHEET = """day,block,exercise,sets,reps,RIR,load,rest
1,A,bench press,4,6-8,2,80 kg,2 min
4,A,back squat,5,5,2,100,3:00
6,A,"leg curl",3,12,,40,90
"""
DAYS = (1, 4, 6)


def written(program, path, zone, cycle, at, start, weeks):
    """The calendar as text."""
    asked = [program, "calendar", str(path), "--from", str(start), "--zone", zone, "--at", at]
    asked += ["--cycle-days", str(cycle), "--weeks", str(weeks)]
    return subprocess.run(asked, check=True, capture_output=True).stdout


def expected(zone, cycle, at, start, weeks):
    """When each session begins, reckoned from the days alone: the same hour of the wall clock each time."""
    hour, minute = map(int, at.split(":"))
    end = start + dt.timedelta(weeks=weeks)
    instants = set()
    for number, day in enumerate(DAYS, 1):
        date = start + dt.timedelta(days=day - DAYS[0])
        while date < end:
            local = dt.datetime.combine(date, dt.time(hour, minute), ZoneInfo(zone))
            instants.add((number, local.astimezone(dt.timezone.utc)))
            date += dt.timedelta(days=cycle)
    return instants


def found(text):
    """When the library says that each session begins. The zone is the one in the file, not the machine's."""
    calendar = icalendar.Calendar.from_ical(text)
    query = recurring_ical_events.of(calendar)
    events = query.between(dt.date(2026, 1, 1), dt.date(2029, 1, 1))
    number = lambda event: int(str(event["UID"]).split("@")[0].rsplit("-", 1)[1])
    return {(number(e), e["DTSTART"].dt.astimezone(dt.timezone.utc)) for e in events}


def changes_in(zone, start, weeks):
    """How often the zone's clocks change meanwhile."""
    noon = [dt.datetime.combine(start + dt.timedelta(days=d), dt.time(12), ZoneInfo(zone)) for d in range(7 * weeks)]
    return sum(a.utcoffset() != b.utcoffset() for a, b in zip(noon, noon[1:]))


def main():
    program = sys.argv[1]
    failed = False
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "sheet.csv"
        path.write_text(SHEET)
        for zone, cycle, at, start in [
            ("Europe/Zurich", 9, "18:00", dt.date(2026, 12, 1)),
            ("Europe/Zurich", 7, "02:30", dt.date(2027, 1, 3)),
            ("America/New_York", 10, "06:30", dt.date(2026, 12, 1)),
            ("Australia/Lord_Howe", 8, "19:15", dt.date(2026, 12, 1)),
            ("Asia/Kolkata", 13, "07:00", dt.date(2026, 12, 1)),
            ("UTC", 6, "12:00", dt.date(2026, 12, 1)),
        ]:
            text = written(program, path, zone, cycle, at, start, 52)
            lines = text.split(b"\r\n")
            assert all(len(line) <= 75 for line in lines), "a line is longer than 75 octets"
            told, want = found(text), expected(zone, cycle, at, start, 52)
            # Under a name that no database knows, the zone can only be read from the file. (An hour that the clocks leave
            # out is left out here: the library reads it otherwise from a file than from its database.)
            own = found(text.replace(zone.encode(), b"Own/" + zone.encode())) if at != "02:30" else want
            again = icalendar.Calendar.from_ical(written(program, path, zone, cycle, at, start, 8))
            uids = lambda c: [str(e["UID"]) for e in c.walk("VEVENT")]
            same = uids(again) == uids(icalendar.Calendar.from_ical(text))
            good = told == want == own and same
            failed |= not good
            changes = changes_in(zone, start, 52)
            print(f"{zone}, {cycle} days, {at}: {len(told & want)} of {len(want)} instants, "
                  f"{changes} changes of the clocks, identifiers {'kept' if same else 'CHANGED'}")
            for odd in sorted(told ^ want | own ^ want)[:4]:
                print("  differs:", odd)
    sys.exit(failed)


if __name__ == "__main__":
    main()
