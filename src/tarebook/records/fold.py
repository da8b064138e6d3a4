"""From the events of one group to what stands in its sheet: pure, and in any order of delivery."""

from __future__ import annotations

import functools
from collections import defaultdict
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from tarebook.records.errors import IdTakenError
from tarebook.records.events import DEFINITION, DEVICE_KEY, Event, Kind
from tarebook.records.readings import Quantity, Reading, RunTable, memory_value, number_value
from tarebook.records.sheet import HEADER, NOTE, RUN

EVENTS_IN_MIND = 32_768
"""Of so many events what was made of them is kept: forty groups with six hundred each have
fewer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """An event and what became of it.

    Attributes
    ----------
    event : Event
    superseded_by : tuple of Event
        The corrections and withdrawals that name it. Where there are two, two people changed it
        without knowing of each other.
    """

    event: Event
    superseded_by: tuple[Event, ...]

    @property
    def counts(self) -> bool:
        """Whether its value stands in the sheet; if not, it is shown struck through."""
        return not self.superseded_by and self.event.kind is not Kind.WITHDRAWAL


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """Two or more statements about one cell, made without knowing of each other.

    Nothing is chosen: all values count as repeated readings until a person withdraws one.

    Attributes
    ----------
    run, column : str
    repeat : int
    events : tuple of Event
        Two readings or corrections of the same cell, or a correction and a withdrawal of the same
        event.
    """

    run: str
    column: str
    repeat: int
    events: tuple[Event, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Folded:
    """All that a group recorded.

    Attributes
    ----------
    table : RunTable
        What counts. The runs are those that anything was recorded of, in the order of the sheet.
    entries : tuple of Entry
        Every event ever made, in the order in which they were taken.
    conflicts : tuple of Conflict
        In the order of the sheet.
    planned : tuple of str
        The runs of the plan.
    """

    table: RunTable
    entries: tuple[Entry, ...]
    conflicts: tuple[Conflict, ...]
    planned: tuple[str, ...] = ()

    def of(self, run: str, column: str) -> tuple[Entry, ...]:
        """Return everything about one column of one run, what no longer counts too."""
        return tuple(e for e in self.entries if (e.event.run, e.event.column) == (run, column))


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldedRun:
    """All that a group recorded of one run.

    Attributes
    ----------
    run : str
    entries : tuple of Entry
        In the order in which they were taken.
    readings : tuple of Reading
        What counts, in the order of the sheet.
    note : str
    conflicts : tuple of Conflict
        In the order of the sheet.
    """

    run: str
    entries: tuple[Entry, ...]
    readings: tuple[Reading, ...]
    note: str
    conflicts: tuple[Conflict, ...]


def fold(events: Iterable[Event], planned: Sequence[str] = ()) -> Folded:
    """Return what a group recorded.

    The result is the same for any order of the events and for any number of copies of each.

    Parameters
    ----------
    events : iterable of Event
        Of one group.
    planned : sequence of str
        The runs of the plan, which give the order. If nothing was recorded they are the runs.

    Raises
    ------
    IdTakenError
        If two different events have the same id.
    ValueError
        If the events are of more than one group.
    """
    ordered = sorted(_once(events), key=when)
    if len({event.group for event in ordered}) > 1:
        raise ValueError("the events of one group are folded at a time")
    naming = named_by(ordered)
    of_run: dict[str, list[Event]] = defaultdict(list)
    for event in ordered:
        of_run[event.run].append(event)
    ids = {event.id for event in ordered}
    runs = [fold_run(run, own, naming, ids) for run, own in of_run.items()]
    order = runs_in_order(
        {one.run: when(one.entries[0].event) for one in runs},
        {one.run: place for one in runs if (place := _place(one.entries)) is not None},
        planned,
    )
    return joined(runs, order, planned)


def named_by(events: Iterable[Event]) -> dict[str, tuple[Event, ...]]:
    """Return the corrections and withdrawals by the id that they name, each in its order."""
    naming: dict[str, tuple[Event, ...]] = {}
    for event in events:
        if event.supersedes:
            others = naming.get(event.supersedes, ())
            naming[event.supersedes] = tuple(sorted((*others, event), key=when))
    return naming


def fold_run(
    run: str, events: Iterable[Event], naming: Mapping[str, Sequence[Event]], ids: Container[str]
) -> FoldedRun:
    """Return what was recorded of one run of a group.

    Parameters
    ----------
    run : str
    events : iterable of Event
        Of the run.
    naming : mapping of id to sequence of Event
        The corrections and withdrawals of the group by the id that they name.
    ids : container of str
        Of all events of the group.
    """
    entries = tuple(
        Entry(event=event, superseded_by=tuple(naming.get(event.id, ())))
        for event in sorted(events, key=when)
    )
    torn = frozenset(
        entry.event.id
        for entry in entries
        if entry.event.supersedes in ids and len(naming[entry.event.supersedes]) > 1
    )
    cells: dict[str, list[Event]] = defaultdict(list)
    counting = [entry.event for entry in entries if entry.counts]
    for event in sorted(counting, key=lambda event: event.repeat):
        cells[event.column].append(event)
    return FoldedRun(
        run=run,
        entries=entries,
        readings=tuple(_readings(cells)),
        note="; ".join(event.typed for event in cells.get(NOTE, ())),
        conflicts=tuple(_conflicts(run, entries, torn)),
    )


def joined(runs: Iterable[FoldedRun], order: Sequence[str], planned: Sequence[str] = ()) -> Folded:
    """Return runs that were folded each by itself as one.

    Parameters
    ----------
    runs : iterable of FoldedRun
    order : sequence of str
        All of them in the order of the sheet.
    planned : sequence of str
        The runs of the plan.
    """
    by = {one.run: one for one in runs}
    in_order = [by[run] for run in order if run in by]
    entries = [entry for one in in_order for entry in one.entries]
    return Folded(
        table=table_of_runs(in_order, order),
        entries=tuple(sorted(entries, key=lambda entry: when(entry.event))),
        conflicts=tuple(conflict for one in in_order for conflict in one.conflicts),
        planned=tuple(planned),
    )


def table_of_runs(runs: Iterable[FoldedRun], order: Sequence[str]) -> RunTable:
    """Return what counts of some runs, which come in the order of the sheet.

    Parameters
    ----------
    runs : iterable of FoldedRun
    order : sequence of str
        The runs of the table.
    """
    folded = list(runs)
    return RunTable(
        runs=tuple(order),
        readings=tuple(reading for one in folded for reading in one.readings),
        notes={one.run: one.note for one in folded if one.note},
    )


def by_group(events: Iterable[Event]) -> Mapping[str, tuple[Event, ...]]:
    """Return the events of each group; a definition or a key is of none."""
    groups: dict[str, list[Event]] = defaultdict(list)
    for event in events:
        if event.column not in (DEFINITION, DEVICE_KEY):
            groups[event.group].append(event)
    return {group: tuple(groups[group]) for group in sorted(groups, key=natural)}


# A group is folded anew after each reading, and its runs have the same few names each time.
@functools.lru_cache(maxsize=4096)
def natural(name: str) -> tuple[tuple[int, str], ...]:
    """Return a key that sorts names as people do: 2 before 10.

    Examples
    --------
    >>> sorted(["10", "2", "b", "a10", "a9"], key=natural)
    ['2', '10', 'a9', 'a10', 'b']
    """
    parts: list[tuple[int, str]] = []
    digits = ""
    for character in name + "\0":
        if character.isascii() and character.isdigit():
            digits += character
            continue
        if digits:
            parts.append((int(digits), digits))
            digits = ""
        parts.append((1 << 62, character))
    return tuple(parts)


def _once(events: Iterable[Event]) -> Iterable[Event]:
    seen: dict[str, Event] = {}
    for event in events:
        if seen.setdefault(event.id, event) != event:
            raise IdTakenError([event.id])
    return seen.values()


def when(event: Event) -> tuple[object, ...]:
    """Return a key for an order of events that depends on nothing but what they say.

    Parameters
    ----------
    event : Event
    """
    place = HEADER.index(event.column)
    return event.taken, natural(event.run), place, event.repeat, event.id


def runs_in_order(
    first: Mapping[str, tuple[object, ...]], places: Mapping[str, int], planned: Sequence[str]
) -> tuple[str, ...]:
    """Return the runs in the order of the sheet: by recorded place, then plan, then first event.

    Parameters
    ----------
    first : mapping of run to key
        When its first event was taken, by `when`.
    places : mapping of run to int
        Its place, where one is recorded.
    planned : sequence of str
        The runs of the plan; where nothing was recorded they are the runs.
    """
    if not first:
        return tuple(planned)
    began = {run: order for order, run in enumerate(sorted(first, key=first.__getitem__))}
    plan = {run: order for order, run in reversed(list(enumerate(planned)))}

    def order(run: str) -> tuple[int, int, int]:
        if run in places:
            return 0, places[run], began[run]
        return (1, plan[run], 0) if run in plan else (2, began[run], 0)

    return tuple(sorted(first, key=order))


def _place(entries: Iterable[Entry]) -> int | None:
    """Return the place of a run in the sheet, where one is recorded."""
    of_run = [one.event.number for one in entries if one.event.column == RUN and one.counts]
    return min(map(int, of_run), default=None)


def _readings(cells: Mapping[str, Sequence[Event]]) -> Iterator[Reading]:
    for quantity in Quantity:
        for position, event in enumerate(cells.get(quantity.value, ()), start=1):
            yield _reading(event, quantity, position)


# A run is folded anew after each reading, and all but that one are the same as before.
@functools.lru_cache(maxsize=EVENTS_IN_MIND)
def _reading(event: Event, quantity: Quantity, position: int) -> Reading:
    """Return the reading of an event, which is the first or a later one of its cell."""
    return Reading(
        run=event.run,
        quantity=quantity,
        value=memory_value(quantity, number_value(event.number)),
        typed=event.number,
        place=f"run {event.run}, {quantity.value}" + (f" ({position})" if position > 1 else ""),
        who=event.who,
        taken=event.taken,
    )


def _conflicts(run: str, entries: Iterable[Entry], torn: Container[str]) -> Iterator[Conflict]:
    cells: dict[tuple[str, int], list[Entry]] = defaultdict(list)
    for entry in entries:
        if not entry.superseded_by and (entry.counts or entry.event.id in torn):
            cells[entry.event.column, entry.event.repeat].append(entry)
    torn_cells = [
        cell for cell, there in cells.items() if len(there) > 1 and any(one.counts for one in there)
    ]
    for column, repeat in sorted(torn_cells, key=lambda cell: (HEADER.index(cell[0]), cell[1])):
        events = tuple(entry.event for entry in cells[column, repeat])
        yield Conflict(run=run, column=column, repeat=repeat, events=events)
