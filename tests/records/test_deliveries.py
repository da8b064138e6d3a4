"""Several devices, clocks that are wrong, deliveries that come late and again: one table."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.memory_log import MemoryLog

from tarebook.records.chain import verify_links
from tarebook.records.events import Event, event_of, object_of
from tarebook.records.fold import Folded, fold
from tarebook.records.log import EventLog
from tarebook.records.store import open_sqlite

NOW = dt.datetime(2026, 10, 5, 12, 0, tzinfo=dt.UTC)
KEY = "6d0a4a5e-9a51-4f6f-8f3f-7a100b8f3c1e"
PLAN = ["1", "2", "3"]

# A device that was never set stands in 1970; one set by hand may be years ahead.
CLOCKS = st.sampled_from(
    [
        dt.datetime(1970, 1, 1, 0, 0, 30, tzinfo=dt.UTC),
        NOW - dt.timedelta(days=4000),
        NOW - dt.timedelta(seconds=90),
        NOW,
        NOW + dt.timedelta(hours=1),
        NOW + dt.timedelta(days=4000),
        dt.datetime(8999, 12, 31, 23, 0, tzinfo=dt.UTC),
    ]
)
ZONES = st.integers(-14 * 4, 14 * 4).map(
    lambda quarters: dt.timezone(dt.timedelta(minutes=15 * quarters))
)


@st.composite
def device_queues(draw: st.DrawFn) -> list[list[Event]]:
    """Return what each device recorded, in its order; each knows the events of all before it."""
    queues: list[list[Event]] = []
    made: list[str] = []
    for device in range(draw(st.integers(1, 3))):
        clock, zone = draw(CLOCKS), draw(ZONES)
        queue = []
        for second in range(draw(st.integers(1, 6))):
            kind = draw(st.sampled_from(["reading", "reading", "correction", "withdrawal"]))
            if not made:
                kind = "reading"
            id_ = str(uuid.UUID(int=len(made) + 1, version=4))
            values = {
                "id": id_,
                "kind": kind,
                "group": "1",
                "run": draw(st.sampled_from(["1", "2", "10"])),
                "column": draw(st.sampled_from(["tare_g", "final_g", "note"])),
                "repeat": draw(st.integers(1, 2)),
                "typed": "" if kind == "withdrawal" else f"{len(made) + 1}",
                "device": f"device {device}",
                "taken": (clock + dt.timedelta(seconds=second)).astimezone(zone).isoformat(),
            }
            if kind != "reading":
                values |= {"supersedes": draw(st.sampled_from(made)), "reason": "misread"}
            queue.append(event_of(values))
            made.append(id_)
        queues.append(queue)
    return queues


def deliver(log: EventLog, queues: Sequence[Sequence[Event]], data: st.DataObject) -> None:
    """Send every queue over a poor network: in parts, late, again, in turn with the others."""
    left = [0] * len(queues)
    while any(at < len(queue) for at, queue in zip(left, queues, strict=True)):
        device = data.draw(st.integers(0, len(queues) - 1))
        begin = data.draw(st.integers(0, left[device]))
        end = data.draw(st.integers(begin, len(queues[device])))
        if begin <= left[device] < end:
            left[device] = end
        log.append(queues[device][begin:end], now=NOW)


def seen(folded: Folded) -> set[tuple[str, str, str]]:
    return {(e.event.run, e.event.column, e.event.typed) for e in folded.entries if e.counts}


@pytest.mark.slow
@given(device_queues(), st.data())
def test_whatever_the_network_does_each_reading_stands_there_once(
    queues: list[list[Event]], data: st.DataObject
) -> None:
    log = MemoryLog(KEY)
    deliver(log, queues, data)
    every = [event for queue in queues for event in queue]
    assert sorted(one.event.id for one in log.events()) == sorted(event.id for event in every)
    assert fold((one.event for one in log.events()), PLAN) == fold(every, PLAN)
    assert verify_links(KEY, log.links(), log.head()).whole


@pytest.mark.slow
@settings(
    max_examples=25,
)
@given(queues=device_queues(), data=st.data())
def test_the_same_in_a_database_that_is_opened_again(
    tmp_path: Path, queues: list[list[Event]], data: st.DataObject
) -> None:
    place = str(tmp_path / f"{uuid.uuid4()}.db")
    log = open_sqlite(place, key=KEY, now=NOW, mode="create")
    deliver(log, queues, data)
    log.close()
    log = open_sqlite(place, now=NOW, mode="read")
    every = [event for queue in queues for event in queue]
    assert fold((one.event for one in log.events()), PLAN) == fold(every, PLAN)
    assert verify_links(KEY, log.links(), log.head()).whole
    log.close()


@given(device_queues(), st.data())
def test_no_clock_decides_what_counts(queues: list[list[Event]], data: st.DataObject) -> None:
    """A wrong clock may change the order of repeats, never what counts or is in conflict."""
    every = [event for queue in queues for event in queue]
    skewed = [replace(event, taken=data.draw(CLOCKS)) for event in every]
    one, other = fold(every, PLAN), fold(skewed, PLAN)
    assert seen(one) == seen(other)
    conflicts = [{(c.run, c.column, c.repeat) for c in f.conflicts} for f in (one, other)]
    assert conflicts[0] == conflicts[1]
    assert set(one.table.runs) == set(other.table.runs)


@given(device_queues(), ZONES)
def test_the_zone_of_a_device_changes_nothing(queues: list[list[Event]], zone: dt.timezone) -> None:
    every = [event for queue in queues for event in queue]
    elsewhere = [
        event_of({**object_of(event), "taken": event.taken.astimezone(zone).isoformat()})
        for event in every
    ]
    assert elsewhere == every
    assert fold(elsewhere, PLAN) == fold(every, PLAN)
