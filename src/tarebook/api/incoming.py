"""What a sheet says that the record does not say yet, as events."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from tarebook.core.errors import AskedFor, Fault, InputError
from tarebook.records.events import Event, Kind, number_of, unit_of
from tarebook.records.fold import Folded, fold
from tarebook.records.readings import Quantity, RunTable
from tarebook.records.sheet import NOTE, RUN

FOR_ALL: Final = {"group": AskedFor.GROUP, "who": AskedFor.WHO}
"""What every event of a sheet has alike, by its key; its fault is none of a cell."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """What a sheet adds to a record.

    Attributes
    ----------
    events : tuple of Event
    n_left : int
        Readings that count in the record and are blank in the sheet; they still count.
    """

    events: tuple[Event, ...]
    n_left: int

    def n_of(self, kind: Kind) -> int:
        """Return how many readings, corrections or withdrawals there are, places of runs aside."""
        return sum(event.kind is kind and event.column != RUN for event in self.events)


def changes(
    table: RunTable,
    folded: Folded,
    *,
    gone: Sequence[Event] = (),
    group: str,
    who: str,
    device: str,
    reason: str,
    now: dt.datetime,
    new_id: Callable[[], str],
) -> Changes:
    """Return the events that make the record of a group say what a sheet says.

    Parameters
    ----------
    table : RunTable
        The sheet.
    folded : Folded
        The record of the group.
    gone : sequence of Event
        What the sheet takes back by leaving it out.
    group, who, device, reason : str
        For the new events.
    now : datetime
    new_id : callable
        Makes an id.

    Raises
    ------
    InputError
        With every cell of the sheet that cannot be recorded.
    """
    sheet = _Sheet(folded, group=group, who=who, device=device, reason=reason, now=now)
    sheet.new_id = new_id
    sheet.gone = frozenset(old.id for old in gone)
    for run in table.runs:
        for quantity in Quantity:
            typed = [reading.typed for reading in table.of(run, quantity)]
            sheet.cell(run, quantity.value, typed)
        note = table.notes.get(run)
        sheet.cell(run, NOTE, [note] if note else [])
    for old in gone:
        sheet.add(old.run, old.column, old.repeat, "", supersedes=old.id)
    sheet.places(table.runs)
    if sheet.faults:
        # Those of the group and the person stand at every cell alike.
        raise InputError(dict.fromkeys(sheet.faults))
    return Changes(events=tuple(sheet.events), n_left=sheet.n_left)


class _Sheet:
    """Gathers the events of a sheet, cell by cell, and the faults of all of them."""

    new_id: Callable[[], str]
    gone: frozenset[str]

    def __init__(
        self,
        folded: Folded,
        *,
        group: str,
        who: str,
        device: str,
        reason: str,
        now: dt.datetime,
    ) -> None:
        self.folded = folded
        self.group, self.who, self.device, self.reason = group, who, device, reason
        self.now = now
        self.events: list[Event] = []
        self.faults: list[Fault] = []
        self.n_left = 0

    def cell(self, run: str, column: str, typed: list[str]) -> None:
        """Record what the sheet says of one column of one run, repeats and all."""
        entries = self.folded.of(run, column)
        still = (e.event for e in entries if e.counts and e.event.id not in self.gone)
        counting = sorted(still, key=lambda event: event.repeat)
        if column == NOTE and typed and "; ".join(e.typed for e in counting) == typed[0]:
            return
        if column == NOTE and typed:
            # The sheet has room for one note a run; the record may have several.
            for old in counting[1:]:
                self.add(run, column, old.repeat, "", supersedes=old.id)
            counting = counting[:1]
        for old, text in zip(counting, typed, strict=False):
            if text != (old.typed if column == NOTE else old.number):
                self.add(run, column, old.repeat, text, supersedes=old.id)
        first = 1 + max((entry.event.repeat for entry in entries), default=0)
        for repeat, text in enumerate(typed[len(counting) :], start=first):
            self.add(run, column, repeat, text)
        self.n_left += max(len(counting) - len(typed), 0)

    def add(self, run: str, column: str, repeat: int, typed: str, supersedes: str = "") -> None:
        """Record a reading, or a correction of what it supersedes; without a text, a withdrawal."""
        kind = Kind.READING
        if supersedes:
            kind = Kind.CORRECTION if typed else Kind.WITHDRAWAL
        try:
            event = Event(
                id=self.new_id(),
                kind=kind,
                group=self.group,
                run=run,
                column=column,
                repeat=repeat,
                typed=typed,
                number=number_of(column, typed) if typed else "",
                unit=unit_of(column) if typed else "",
                instrument="",
                who=self.who,
                device=self.device,
                taken=self.now,
                supersedes=supersedes,
                reason=self.reason if supersedes else "",
            )
        except InputError as error:
            place = f"run {run[:60]!r}, {column}"
            self.faults += [
                dataclasses.replace(
                    fault, where=FOR_ALL.get(fault.where) or f"{place}, {fault.where}"
                )
                for fault in error.faults
            ]
        else:
            self.events.append(event)

    def places(self, runs: tuple[str, ...]) -> None:
        """Record the place of each run, if they would not stand in the order of the sheet."""
        if self.faults:
            return
        before = [entry.event for entry in self.folded.entries]
        after = fold([*before, *self.events], self.folded.planned).table.runs
        if tuple(run for run in after if run in runs) == runs:
            return
        for place, run in enumerate(runs, start=1):
            known = list(self._places_of(run))
            if [event.number for event in known] != [str(place)]:
                self.add(run, RUN, 1, str(place), supersedes=known[0].id if known else "")

    def _places_of(self, run: str) -> Iterator[Event]:
        return (entry.event for entry in self.folded.of(run, RUN) if entry.counts)
