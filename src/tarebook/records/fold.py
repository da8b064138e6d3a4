"""From the events of one group to what stands in its sheet: pure, and in any order of delivery."""

from __future__ import annotations

import functools
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from tarebook.records.errors import IdTakenError
from tarebook.records.events import DEFINITION, Event, Kind
from tarebook.records.readings import Quantity, Reading, RunTable, memory_value, number_value
from tarebook.records.sheet import HEADER, NOTE, RUN


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
    ordered = sorted(_once(events), key=_when)
    if len({event.group for event in ordered}) > 1:
        raise ValueError("the events of one group are folded at a time")
    ids = {event.id for event in ordered}
    by: dict[str, list[Event]] = defaultdict(list)
    for event in ordered:
        if event.supersedes in ids:
            by[event.supersedes].append(event)
    entries = tuple(
        Entry(event=event, superseded_by=tuple(by.get(event.id, ()))) for event in ordered
    )
    counting = [entry.event for entry in entries if entry.counts]
    runs = _runs(ordered, counting, planned)
    return Folded(
        table=_table(counting, runs),
        entries=entries,
        conflicts=_conflicts(entries, runs),
        planned=tuple(planned),
    )


def by_group(events: Iterable[Event]) -> Mapping[str, tuple[Event, ...]]:
    """Return the events of each group; a definition is of none."""
    groups: dict[str, list[Event]] = defaultdict(list)
    for event in events:
        if event.column != DEFINITION:
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


def _when(event: Event) -> tuple[object, ...]:
    """Return a key for an order of events that depends on nothing but what they say."""
    place = HEADER.index(event.column)
    return event.taken, natural(event.run), place, event.repeat, event.id


def _runs(
    ordered: Sequence[Event], counting: Sequence[Event], planned: Sequence[str]
) -> tuple[str, ...]:
    """Return the runs in the order of the sheet: by recorded place, then plan, then first event."""
    if not ordered:
        return tuple(planned)
    places: dict[str, int] = {}
    for event in counting:
        if event.column == RUN:
            place = int(event.number)
            places[event.run] = min(place, places.get(event.run, place))
    first = {event.run: order for order, event in reversed(list(enumerate(ordered)))}
    plan = {run: order for order, run in reversed(list(enumerate(planned)))}

    def order(run: str) -> tuple[int, int, int]:
        if run in places:
            return 0, places[run], first[run]
        return (1, plan[run], 0) if run in plan else (2, first[run], 0)

    return tuple(sorted(first, key=order))


def _table(counting: Sequence[Event], runs: Sequence[str]) -> RunTable:
    cells: dict[tuple[str, str], list[Event]] = defaultdict(list)
    for event in sorted(counting, key=lambda event: event.repeat):
        cells[event.run, event.column].append(event)
    readings = [
        Reading(
            run=run,
            quantity=quantity,
            value=memory_value(quantity, number_value(event.number)),
            typed=event.number,
            place=f"run {run}, {quantity.value}" + (f" ({position})" if position > 1 else ""),
            who=event.who,
            taken=event.taken,
        )
        for run in runs
        for quantity in Quantity
        for position, event in enumerate(cells.get((run, quantity.value), ()), start=1)
    ]
    notes = {
        run: "; ".join(event.typed for event in cells[run, NOTE])
        for run in runs
        if (run, NOTE) in cells
    }
    return RunTable(runs=tuple(runs), readings=tuple(readings), notes=notes)


def _conflicts(entries: Sequence[Entry], runs: Sequence[str]) -> tuple[Conflict, ...]:
    torn = {
        id(event)
        for entry in entries
        for event in entry.superseded_by
        if len(entry.superseded_by) > 1
    }
    cells: dict[tuple[str, str, int], list[Entry]] = defaultdict(list)
    for entry in entries:
        if not entry.superseded_by and (entry.counts or id(entry.event) in torn):
            cells[entry.event.slot].append(entry)
    place = {run: order for order, run in enumerate(runs)}
    slots = sorted(cells, key=lambda slot: (place[slot[0]], HEADER.index(slot[1]), slot[2]))
    return tuple(
        Conflict(
            run=run,
            column=column,
            repeat=repeat,
            events=tuple(entry.event for entry in cells[run, column, repeat]),
        )
        for run, column, repeat in slots
        if len(cells[run, column, repeat]) > 1
        and any(entry.counts for entry in cells[run, column, repeat])
    )
