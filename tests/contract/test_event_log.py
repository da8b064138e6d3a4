"""What every backend of the record does: one suite for memory, SQLite and PostgreSQL."""

from __future__ import annotations

import datetime as dt
import threading
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any, Protocol

import pytest
from tests.memory_log import MemoryLog

from tarebook.records.chain import first_hash, verify_links
from tarebook.records.errors import BrokenArchiveError, IdTakenError, RecordNotEmptyError
from tarebook.records.events import Event
from tarebook.records.log import EventLog
from tarebook.records.store import SqlLog

NOW = dt.datetime(2026, 10, 5, 12, 0, tzinfo=dt.UTC)
LATER = NOW + dt.timedelta(minutes=5)

Make = Callable[..., Event]


class Record(Protocol):
    backend: str
    key: str

    def open(self) -> EventLog: ...


def ids(received: Sequence[Any]) -> list[str]:
    return [one.event.id for one in received]


def test_a_new_log_is_empty_and_whole(record: Record) -> None:
    log = record.open()
    assert log.experiment == record.key
    assert log.events() == ()
    assert log.head().count == 0
    assert log.head().hash == first_hash(record.key)
    assert verify_links(log.experiment, log.links()).whole


def test_events_are_numbered_as_they_come_and_come_back_unchanged(
    record: Record, event: Make
) -> None:
    log = record.open()
    sent = [event(typed="12,31 g"), event(column="note", typed='a "strange"\nsmell, ü €', who="")]
    received = log.append(sent, now=NOW)
    assert [one.event for one in received] == sent
    assert [one.sequence for one in received] == [1, 2]
    assert {one.received for one in received} == {NOW}
    assert received[0].previous == first_hash(record.key)
    assert received[1].previous == received[0].hash
    assert record.open().events() == received
    assert log.head().hash == received[1].hash


def test_the_same_event_is_acknowledged_again_and_recorded_once(
    record: Record, event: Make
) -> None:
    log = record.open()
    one, two = event(), event()
    first = log.append([one], now=NOW)
    again = log.append([two, one, two], now=LATER)
    assert again[1] == first[0]
    assert again[0] == again[2]
    assert [one.sequence for one in log.events()] == [1, 2]
    assert record.open().append([one, two], now=LATER) == (first[0], again[0])


def test_another_event_with_a_known_id_is_refused_and_with_it_its_delivery(
    record: Record, event: Make
) -> None:
    log = record.open()
    one = event()
    log.append([one], now=NOW)
    other = event(id=one.id, typed="12,32 g")
    bystander = event()
    with pytest.raises(IdTakenError) as refused:
        log.append([bystander, other], now=NOW)
    assert refused.value.ids == (one.id,)
    assert one.id in str(refused.value)
    assert ids(log.events()) == [one.id]
    with pytest.raises(IdTakenError):
        record.open().append([other], now=NOW)


def test_two_events_with_one_id_in_one_delivery_are_refused(record: Record, event: Make) -> None:
    log = record.open()
    one = event()
    with pytest.raises(IdTakenError) as refused:
        log.append([one, event(id=one.id, typed="1")], now=NOW)
    assert refused.value.ids == (one.id,)
    assert log.events() == ()


def test_an_id_of_another_group_is_refused_too(record: Record, event: Make) -> None:
    log = record.open()
    one = event(group="3")
    log.append([one], now=NOW)
    with pytest.raises(IdTakenError):
        log.append([event(id=one.id, group="4", taken=one.taken.isoformat())], now=NOW)


def test_no_events_are_no_delivery(record: Record) -> None:
    log = record.open()
    assert log.append([], now=NOW) == ()
    assert log.head().count == 0


def test_events_of_a_group_and_after_a_number(record: Record, event: Make) -> None:
    log = record.open()
    sent = [event(group=group) for group in "34343"]
    received = log.append(sent, now=NOW)
    assert log.events(group="3") == received[::2]
    assert log.events(group="4", after=2) == (received[3],)
    assert log.events(after=3) == received[3:]
    assert log.events(after=9) == ()
    assert log.events(group="5") == ()
    fresh = record.open()
    assert fresh.events(group="3", after=1) == received[2::2]


def test_two_programs_see_each_other(record: Record, event: Make) -> None:
    one, two = record.open(), record.open()
    first = one.append([event()], now=NOW)
    second = two.append([event()], now=NOW)
    third = one.append([event()], now=NOW)
    assert one.events() == two.events() == first + second + third
    assert one.head() == two.head()
    assert two.head().count == 3


def test_what_is_known_is_what_was_read_or_written_here(record: Record, event: Make) -> None:
    one, other = record.open(), record.open()
    first, second, third = event(group="1"), event(group="2"), event(group="1")
    one.append([first], now=NOW)
    other.append([second], now=NOW)
    # Whoever writes is told first what others have written.
    assert [found.event for found in other.known()] == [first, second]
    one.append([third], now=NOW)
    assert [found.event for found in one.known(group="1")] == [first, third]
    assert one.known(group="1", after=1) == one.events(group="1", after=1)
    if one is not other:
        assert [found.event for found in other.known()] == [first, second]
        assert len(other.events()) == len(other.known()) == 3


def test_many_threads_of_two_programs_lose_and_double_nothing(record: Record, event: Make) -> None:
    logs = [record.open(), record.open()]
    sent = [[event() for _ in range(12)] for _ in range(8)]
    acknowledged: list[Any] = []

    def work(number: int) -> None:
        for one in sent[number]:
            acknowledged.extend(logs[number % 2].append([one], now=NOW))
            acknowledged.extend(logs[(number + 1) % 2].append([one], now=LATER))

    threads = [threading.Thread(target=work, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    events = record.open().events()
    assert [one.sequence for one in events] == list(range(1, 97))
    assert sorted(ids(events)) == sorted(one.id for of_thread in sent for one in of_thread)
    by_id = {one.event.id: one for one in events}
    assert len(acknowledged) == 192
    assert all(by_id[one.event.id] == one for one in acknowledged)
    # The events of one device stay in the order in which it sent them.
    for of_thread in sent:
        numbers = [by_id[one.id].sequence for one in of_thread]
        assert numbers == sorted(numbers)
    for log in logs:
        assert log.events() == events
        assert verify_links(log.experiment, log.links(), log.head()).whole


def test_a_refused_delivery_leaves_those_beside_it_be(record: Record, event: Make) -> None:
    log = record.open()
    known = event()
    log.append([known], now=NOW)
    good = [[event() for _ in range(10)] for _ in range(6)]
    refused: list[str] = []

    def work(number: int) -> None:
        for one in good[number]:
            log.append([one], now=NOW)
            try:
                log.append([event(id=known.id, typed=f"{number}")], now=NOW)
            except IdTakenError as error:
                refused.extend(error.ids)

    threads = [threading.Thread(target=work, args=(number,)) for number in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert refused == [known.id] * 60
    assert sorted(ids(log.events())) == sorted([known.id, *(e.id for of in good for e in of)])


def test_an_archive_is_restored_as_it_was(record: Record, event: Make) -> None:
    source = MemoryLog(record.key)
    source.append([event(), event()], now=NOW)
    source.append([event()], now=LATER)
    log = record.open()
    log.restore(source.events())
    assert log.events() == source.events()
    assert log.head() == source.head()
    after = log.append([event()], now=LATER)
    assert after[0].sequence == 4
    assert verify_links(log.experiment, record.open().links(), log.head()).whole


def test_nothing_is_restored_over_readings(record: Record, event: Make) -> None:
    log = record.open()
    log.append([event()], now=NOW)
    with pytest.raises(RecordNotEmptyError, match="holds readings already"):
        log.restore(log.events())
    assert log.head().count == 1


def test_a_broken_chain_is_not_restored(record: Record, event: Make) -> None:
    source = MemoryLog(record.key)
    source.append([event(), event(), event()], now=NOW)
    one, _, three = source.events()
    log = record.open()
    with pytest.raises(BrokenArchiveError, match="event 2 is missing"):
        log.restore([one, three])
    other = MemoryLog("00000000-0000-4000-8000-000000000000")
    other.append([event()], now=NOW)
    with pytest.raises(BrokenArchiveError, match="another experiment"):
        log.restore(other.events())
    assert log.head().count == 0


def test_a_program_remembers_each_end_that_its_chain_had_and_no_other(
    database: Record, event: Callable[..., Event]
) -> None:
    log = database.open()
    assert isinstance(log, SqlLog)
    ends = []
    for _ in range(3):
        log.append([event()], now=NOW)
        ends.append(log.head())
    assert [end.count for end in ends] == [1, 2, 3]
    assert all(log.remembers(end) for end in ends)
    assert not any(log.remembers(replace(end, count=end.count + 1)) for end in ends)
    assert not log.remembers(replace(ends[0], count=0))
