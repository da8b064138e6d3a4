"""The fold: the same table for any order and number of deliveries; nothing lost, nothing merged."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tarebook.core.units import kelvin, litres
from tarebook.records.errors import IdTakenError
from tarebook.records.events import Event, event_of
from tarebook.records.fold import by_group, fold
from tarebook.records.readings import Quantity
from tarebook.records.sheet import parse_sheet, write_sheet

START = dt.datetime(2026, 10, 5, 12, 0, tzinfo=dt.UTC)


def id_of(number: int) -> str:
    return str(uuid.UUID(int=number, version=4))


def made(number: int, **given: Any) -> Event:
    """Return an event; `supersedes` is the number of another one."""
    values = {
        "id": id_of(number),
        "kind": "reading",
        "group": "3",
        "run": "1",
        "column": "tare_g",
        "typed": f"{number}.5",
        "device": "phone",
        "taken": (START + dt.timedelta(seconds=number)).isoformat(),
        **given,
    }
    if "supersedes" in given:
        values |= {"supersedes": id_of(given["supersedes"]), "reason": "misread"}
        values |= {"kind": "correction"} if "kind" not in given else {}
    if values["kind"] == "withdrawal":
        values["typed"] = ""
    return event_of(values)


@st.composite
def event_lists(draw: st.DrawFn) -> list[Event]:
    """Return events that supersede one another in every way, circles and unknown ids too."""
    events = []
    for number in range(1, draw(st.integers(1, 12)) + 1):
        kind = draw(st.sampled_from(["reading", "reading", "correction", "withdrawal"]))
        given: dict[str, Any] = {
            "kind": kind,
            "run": draw(st.sampled_from(["1", "2", "10", "b"])),
            "column": draw(st.sampled_from(["tare_g", "reagent_mL", "note", "run"])),
            "repeat": draw(st.integers(1, 2)),
            "taken": (START + dt.timedelta(seconds=draw(st.integers(0, 3)))).isoformat(),
            "typed": str(draw(st.integers(1, 5))),
        }
        if kind != "reading":
            others = [target for target in range(1, 14) if target != number]
            given["supersedes"] = draw(st.sampled_from(others))
        events.append(made(number, **given))
    return events


@given(event_lists(), st.data())
def test_any_order_and_duplication_folds_to_the_same(
    events: list[Event], data: st.DataObject
) -> None:
    copies = data.draw(st.lists(st.sampled_from(events), max_size=8))
    delivered = data.draw(st.permutations([*events, *copies]))
    assert fold(delivered, ["1", "2"]) == fold(events, ["1", "2"])


@given(event_lists())
def test_every_event_is_kept_and_every_value_that_counts_stands_once(events: list[Event]) -> None:
    folded = fold(events)
    assert sorted(entry.event.id for entry in folded.entries) == sorted(e.id for e in events)
    superseded = {event.supersedes for event in events}
    counting = [
        event for event in events if event.id not in superseded and event.kind != "withdrawal"
    ]
    numbers = [(e.run, e.column, e.number) for e in counting if e.quantity]
    in_table = [(r.run, r.quantity.value, r.typed) for r in folded.table.readings]
    assert sorted(in_table) == sorted(numbers)
    notes = [event.typed for event in counting if event.column == "note"]
    assert sorted("; ".join(folded.table.notes.values()).split("; ")) == sorted(notes or [""])
    assert set(folded.table.runs) == {event.run for event in events}


@given(event_lists())
def test_two_values_of_one_cell_are_always_a_conflict(events: list[Event]) -> None:
    folded = fold(events)
    cells: dict[tuple[str, str, int], int] = {}
    for entry in folded.entries:
        if entry.counts:
            cells[entry.event.slot] = cells.get(entry.event.slot, 0) + 1
    shown = {(conflict.run, conflict.column, conflict.repeat) for conflict in folded.conflicts}
    assert {slot for slot, count in cells.items() if count > 1} <= shown
    for conflict in folded.conflicts:
        assert len(conflict.events) > 1


@given(event_lists())
def test_a_sheet_of_what_counts_is_read_back(events: list[Event]) -> None:
    table = fold(events).table
    sheet = write_sheet(table)
    again = parse_sheet(sheet)
    assert again.runs == table.runs
    assert again.notes == table.notes
    assert write_sheet(again) == sheet


def test_values_are_in_the_units_of_memory() -> None:
    events = [
        made(1, typed="12,31 g"),
        made(2, column="reagent_mL", typed="0,0125 L"),
        made(3, column="temperature_C", typed="21"),
        made(4, column="minutes", typed="5"),
    ]
    table = fold(events).table
    values = {reading.quantity: reading.value for reading in table.readings}
    assert values == {
        Quantity.TARE: 12.31,
        Quantity.REAGENT: litres(12.5),
        Quantity.TEMPERATURE: kelvin(21.0),
        Quantity.MINUTES: 5.0,
    }
    assert [reading.typed for reading in table.readings] == ["12.31", "12.5", "21", "5"]


def test_a_correction_takes_the_place_and_the_old_one_stays_visible() -> None:
    folded = fold([made(1), made(2, supersedes=1), made(3, supersedes=2)])
    assert [reading.typed for reading in folded.table.readings] == ["3.5"]
    assert [entry.counts for entry in folded.of("1", "tare_g")] == [False, False, True]
    assert [len(entry.superseded_by) for entry in folded.entries] == [1, 1, 0]
    assert folded.entries[0].superseded_by[0].reason == "misread"
    assert folded.conflicts == ()


def test_a_correction_can_move_a_reading_to_another_run() -> None:
    folded = fold([made(1, run="4"), made(2, run="5", supersedes=1)])
    assert folded.table.of("4", Quantity.TARE) == ()
    assert [reading.typed for reading in folded.table.of("5", Quantity.TARE)] == ["2.5"]
    assert folded.table.runs == ("4", "5")


def test_a_withdrawal_leaves_the_cell_blank_and_can_itself_be_undone() -> None:
    events = [made(1), made(2, kind="withdrawal", supersedes=1)]
    assert fold(events).table.readings == ()
    assert fold(events).table.runs == ("1",)
    undone = fold([*events, made(3, typed="1.5", supersedes=2)])
    assert [reading.typed for reading in undone.table.readings] == ["1.5"]
    assert undone.conflicts == ()
    anew = fold([*events, made(4)])
    assert [reading.typed for reading in anew.table.readings] == ["4.5"]
    assert anew.conflicts == ()


def test_two_devices_reading_one_cell_are_shown_as_two_readings() -> None:
    folded = fold([made(1), made(2, device="tablet")])
    assert [reading.typed for reading in folded.table.readings] == ["1.5", "2.5"]
    (conflict,) = folded.conflicts
    assert (conflict.run, conflict.column, conflict.repeat) == ("1", "tare_g", 1)
    assert [event.device for event in conflict.events] == ["phone", "tablet"]
    settled = fold([made(1), made(2), made(3, kind="withdrawal", supersedes=1)])
    assert [reading.typed for reading in settled.table.readings] == ["2.5"]
    assert settled.conflicts == ()


def test_two_corrections_of_one_reading_are_both_kept() -> None:
    folded = fold([made(1), made(2, supersedes=1), made(3, supersedes=1, device="tablet")])
    assert [reading.typed for reading in folded.table.readings] == ["2.5", "3.5"]
    assert [event.id for event in folded.conflicts[0].events] == [id_of(2), id_of(3)]


def test_a_correction_and_a_withdrawal_of_one_reading_are_a_conflict() -> None:
    torn = [made(1), made(2, supersedes=1), made(3, kind="withdrawal", supersedes=1)]
    folded = fold(torn)
    assert [reading.typed for reading in folded.table.readings] == ["2.5"]
    assert [str(event.kind) for event in folded.conflicts[0].events] == ["correction", "withdrawal"]
    settled = fold([*torn, made(4, kind="withdrawal", supersedes=3)])
    assert settled.conflicts == ()
    agreed = fold([made(1), *(made(n, kind="withdrawal", supersedes=1) for n in (2, 3))])
    assert agreed.conflicts == ()


def test_repeats_are_no_conflict_and_stand_in_their_order() -> None:
    folded = fold([made(1, repeat=2), made(2, repeat=1), made(3, repeat=1, supersedes=2)])
    assert [reading.typed for reading in folded.table.readings] == ["3.5", "1.5"]
    assert folded.conflicts == ()
    assert "tare_g_2" in write_sheet(folded.table)


def test_a_repeat_has_a_place_of_its_own_and_the_first_is_the_cell() -> None:
    first, second = fold([made(1), made(2, repeat=2)]).table.readings
    assert first.place == fold([made(1)]).table.readings[0].place
    assert second.place.startswith(first.place)
    assert (first.place[-1:], second.place[-3:]) == ("g", "(2)"), "the name of the column ends in g"


def test_what_supersedes_an_event_of_another_group_changes_nothing_there() -> None:
    groups = by_group([made(1, group="3"), made(2, group="10", supersedes=1), made(3, group="9")])
    assert list(groups) == ["3", "9", "10"]
    assert [entry.counts for entry in fold(groups["3"]).entries] == [True]
    assert [entry.counts for entry in fold(groups["10"]).entries] == [True]
    with pytest.raises(ValueError, match="one group"):
        fold([made(1, group="3"), made(2, group="4")])


def test_two_events_with_one_id_are_refused() -> None:
    with pytest.raises(IdTakenError):
        fold([made(1), made(1, typed="9")])


def test_runs_stand_in_the_order_of_the_plan_then_as_they_came() -> None:
    events = [made(number, run=run) for number, run in enumerate(["z", "2", "a", "1"], start=1)]
    assert fold(events, ["1", "2", "3"]).table.runs == ("1", "2", "z", "a")
    assert fold([], ["1", "2", "3"]).table.runs == ("1", "2", "3")
    placed = [*events, made(8, run="a", column="run", typed="1")]
    assert fold(placed, ["1", "2"]).table.runs == ("a", "1", "2", "z")
