"""What a group recorded is added to what is known: the same as from the beginning, for less."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.records.test_fold import event_lists, id_of, made

from tarebook.api.bench import group_record
from tarebook.api.bench.group_record import MOST_LOOKED_AT, GroupRecord
from tarebook.records.events import Event, Received
from tarebook.records.fold import FoldedRun, fold, fold_run
from tarebook.records.readings import RunTable
from tarebook.series.definition import parse_definition

POOL = Path(__file__).parents[2] / "examples" / "clean-pool-granules"
EXPERIMENT = parse_definition((POOL / "experiment.toml").read_text(encoding="utf-8"))
NOW = dt.datetime(2026, 10, 5, 12, 0, tzinfo=dt.UTC)


def received(events: list[Event], after: int = 0) -> tuple[Received, ...]:
    return tuple(
        Received(event=event, sequence=number, received=NOW, previous="", hash="")
        for number, event in enumerate(events, start=after + 1)
    )


def empty() -> GroupRecord:
    return GroupRecord(experiment=EXPERIMENT, planned=("1", "2"))


@given(event_lists(), st.data())
def test_added_bit_by_bit_it_is_the_same_as_from_the_beginning(
    events: list[Event], data: st.DataObject
) -> None:
    """Corrections that come before what they correct, and those across runs, too."""
    order = data.draw(st.permutations(events))
    record, at = empty(), 0
    while at < len(order):
        n_next = data.draw(st.integers(1, 4))
        record = record.grown(received(order[at : at + n_next], at))
        at += n_next
        # Asked for in between, as every delivery does.
        assert record.folded == fold(order[:at], ["1", "2"])
    assert record.looked_at == record.table
    for run, of_run in record.runs.items():
        whole = fold(order, ["1", "2"])
        assert of_run.entries == tuple(e for e in whole.entries if e.event.run == run)
        assert of_run.conflicts == tuple(one for one in whole.conflicts if one.run == run)


@pytest.fixture
def folded(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, int]]:
    """Runs that were folded, with the number of their events."""
    seen: list[tuple[str, int]] = []

    def counting(run: str, events: list[Event], *rest: object) -> FoldedRun:
        seen.append((run, len(events)))
        return fold_run(run, events, *rest)  # type: ignore[arg-type]  # as they come

    monkeypatch.setattr(group_record, "fold_run", counting)
    return seen


def of_runs(n_runs: int, n_each: int, first: int = 1) -> list[Event]:
    return [
        made(first + n, run=str(n % n_runs), repeat=1 + n // n_runs % 90)
        for n in range(n_runs * n_each)
    ]


def n_read(table: RunTable) -> int:
    """Return for how many readings those of a table stand."""
    return sum(reading.times for reading in table.readings)


def test_a_reading_costs_as_much_as_its_own_run_has(folded: list[tuple[str, int]]) -> None:
    """Each delivery went through all that the group ever sent."""
    record = empty().grown(received(of_runs(20, 100)))
    assert n_read(record.looked_at) == 2000
    folded.clear()
    record = record.grown(received([made(9001, run="7")], 2000))
    assert n_read(record.looked_at) == 2001
    assert folded == [("7", 101)]


def test_a_run_with_more_than_anybody_reads_is_not_gone_through(
    folded: list[tuple[str, int]],
) -> None:
    record = empty().grown(received(of_runs(2, MOST_LOOKED_AT + 300)))
    for number in range(20):
        record = record.grown(received([made(9001 + number, run="1")], len(record.received)))
        crowded = record.runs["1"]
        assert crowded.is_crowded
        assert record.looked_at.readings == ()
        assert record.order == ("1", "0")
        assert len(crowded.entries) == MOST_LOOKED_AT
        # What was sent last is shown.
        assert id_of(9001 + number) in {entry.event.id for entry in crowded.entries}
    assert folded == []
    # All of it counts all the same.
    assert n_read(record.table) == 2 * (MOST_LOOKED_AT + 300) + 20


def test_what_was_corrected_in_a_crowded_run_is_shown_as_such() -> None:
    record = empty().grown(received(of_runs(1, MOST_LOOKED_AT + 10)))
    last = MOST_LOOKED_AT + 10
    correction = made(9001, run="0", supersedes=last)
    record = record.grown(received([correction], last))
    (entry,) = [one for one in record.runs["0"].entries if one.event.id == id_of(last)]
    assert entry.superseded_by == (correction,)
    assert not entry.counts
