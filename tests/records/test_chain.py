"""The chain: every change to a record is found, and where it first shows."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import shutil
import subprocess
import uuid
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.memory_log import MemoryLog

from tarebook.core.errors import InputError
from tarebook.records.chain import (
    LINE_FIELDS,
    Head,
    Link,
    first_hash,
    line_of,
    received_of,
    verify_links,
)
from tarebook.records.events import event_of

KEY = "6d0a4a5e-9a51-4f6f-8f3f-7a100b8f3c1e"
NOW = dt.datetime(2026, 10, 5, 12, 0, 0, 250, tzinfo=dt.UTC)


def filled(count: int = 6, key: str = KEY) -> MemoryLog:
    log = MemoryLog(key)
    for number in range(count):
        given = {
            "id": str(uuid.UUID(int=number + 1, version=4)),
            "kind": "reading",
            "group": "3",
            "run": "1",
            "column": "note",
            "typed": f'ünd “{number}”\n\\ "x" \u2028 \U0001f9ea',
            "device": "phone",
            "taken": NOW.isoformat(),
        }
        log.append([event_of(given)], now=NOW + dt.timedelta(seconds=number))
    return log


LOG = filled()
LINKS = list(LOG.links())
LINES = [link.line for link in LINKS]


def fault_of(lines: list[str], expected: Head | None = None) -> str:
    return verify_links(KEY, [Link(line=line) for line in lines], expected).fault


def test_a_whole_chain() -> None:
    verdict = verify_links(KEY, LINKS, LOG.head())
    assert verdict.whole
    assert verdict.head == LOG.head()
    empty = verify_links(KEY, [])
    assert empty.whole
    assert empty.head == Head(count=0, hash=first_hash(KEY))


def test_a_line_is_read_back_and_its_keys_are_sorted() -> None:
    for line, received in zip(LINES, LOG.events(), strict=True):
        assert received_of(line) == received
        assert line_of(received) == line
        assert tuple(json.loads(line)) == LINE_FIELDS == tuple(sorted(LINE_FIELDS))


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="sha256sum is not installed")
def test_the_chain_can_be_checked_with_the_tools_of_any_shell(tmp_path: Path) -> None:
    file = tmp_path / "events.jsonl"
    file.write_text("".join(line + "\n" for line in LINES), encoding="utf-8")
    script = (
        f"printf %s {KEY} | sha256sum; "
        f"while IFS= read -r line; do printf %s \"$line\" | sha256sum; done < '{file}'"
    )
    done = subprocess.run(["sh", "-c", script], check=True, capture_output=True, text=True)
    hashes = [line.split()[0] for line in done.stdout.splitlines()]
    previous = [json.loads(line)["previous"] for line in LINES]
    assert hashes == [*previous, LOG.head().hash]


@given(st.integers(0, len(LINES) - 1), st.data())
def test_any_other_byte_in_any_line_is_found(number: int, data: st.DataObject) -> None:
    line = LINES[number]
    place = data.draw(st.integers(0, len(line) - 1))
    other = data.draw(st.characters(blacklist_categories=["Cs"]).filter(lambda c: c != line[place]))
    altered = line[:place] + other + line[place + 1 :]
    verdict = verify_links(
        KEY,
        [Link(line=one) for one in [*LINES[:number], altered, *LINES[number + 1 :]]],
        LOG.head(),
    )
    assert not verdict.whole
    # It shows at the event itself, or at the next one, which names it by its old hash.
    assert verdict.head.count in (number, number + 1)


@given(st.integers(0, len(LINES) - 1), st.sampled_from(["typed", "who", "taken", "received"]))
def test_an_altered_value_with_a_matching_hash_is_found_at_the_next_event(
    number: int, name: str
) -> None:
    values = json.loads(LINES[number])
    values[name] = "Eve" if name in ("who", "typed") else "2026-10-06T12:00:00.000000Z"
    line = json.dumps(values, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    links = list(LINKS)
    links[number] = Link(line=line, hash=hashlib.sha256(line.encode()).hexdigest())
    fault = verify_links(KEY, links, LOG.head()).fault
    assert fault.startswith(f"event {number + 1} was altered")


@given(st.permutations(LINES).filter(lambda lines: lines != LINES))
def test_any_other_order_is_found(lines: list[str]) -> None:
    first = next(n for n, (a, b) in enumerate(zip(lines, LINES, strict=True), 1) if a != b)
    assert fault_of(lines).startswith(f"event {first} is missing: event ")


@given(st.integers(0, len(LINES) - 2))
def test_a_missing_event_is_found(number: int) -> None:
    lines = LINES[:number] + LINES[number + 1 :]
    assert fault_of(lines) == (
        f"event {number + 1} is missing: event {number + 2} stands in its place"
    )


def test_a_missing_end_is_found_when_the_end_is_known() -> None:
    assert fault_of(LINES[:-1]) == ""
    assert fault_of(LINES[:-1], LOG.head()) == "event 6 is missing: there should be 6 events"
    assert fault_of([], LOG.head()) == "event 1 is missing: there should be 6 events"


def test_a_doubled_or_added_event_is_found() -> None:
    assert fault_of([*LINES[:2], LINES[1], *LINES[2:]]) == (
        "event 2 stands again in the place of event 3"
    )
    shorter = filled(5).head()
    assert fault_of(LINES, shorter) == "event 6 was added: there should be 5 events"


def test_a_chain_written_anew_is_found_when_the_end_is_known() -> None:
    other = MemoryLog(KEY)
    for one in LOG.events():
        other.append([one.event], now=NOW + dt.timedelta(days=1))
    assert verify_links(KEY, other.links()).whole
    fault = verify_links(KEY, other.links(), LOG.head()).fault
    assert fault == "event 6 was altered, or the whole chain was written anew"


def test_a_chain_of_another_experiment_is_found() -> None:
    other = filled(key=str(uuid.uuid4()))
    fault = verify_links(KEY, other.links()).fault
    assert fault == "event 1 was altered or belongs to another experiment"


def test_an_id_that_comes_twice_is_found() -> None:
    log = MemoryLog(KEY)
    log.append([LOG.events()[0].event], now=NOW)
    twice = MemoryLog(KEY)
    twice.append([LOG.events()[0].event], now=NOW)
    # A second log that has forgotten the id goes on from the first one's end.
    twice._by_id.clear()
    twice.append([LOG.events()[0].event], now=NOW)
    fault = verify_links(KEY, twice.links()).fault
    assert fault == "event 2 has the id of an earlier event"


@pytest.mark.parametrize(
    "change",
    [
        lambda line: "",
        lambda line: "[]",
        lambda line: line[:-1],
        lambda line: line.replace(",", ", ", 1),
        lambda line: line.replace('"repeat":1', '"repeat":1.0'),
        lambda line: line.replace('"sequence":1', '"sequence":"1"'),
        lambda line: line.replace("12:00:00.000250Z", "14:00:00.000250+02:00"),
        lambda line: line.replace("{", '{"extra":1,', 1),
        lambda line: line.replace('"device":"phone",', ""),
        lambda line: line.replace("ü", "\\u00fc"),
        lambda line: line.replace('"sequence":1', '"sequence":true'),
        lambda line: line.replace("2026-10-05T12:00:00.000250Z", "0001-01-01T00:00:00+14:00"),
        lambda line: line.replace('"repeat":1', '"repeat":1' + "0" * 5000),
        lambda line: "[" * 200_000,
        lambda line: '{"typed":' * 100_000,
    ],
)
def test_what_is_no_line(change: Any) -> None:
    altered = change(LINES[0])
    assert altered != LINES[0]
    with pytest.raises(InputError):
        received_of(altered)
    assert fault_of([altered, *LINES[1:]]).startswith("event 1 was altered: ")
