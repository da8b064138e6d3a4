"""Where readings come from: the sheet or the record, and in what the two differ."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from tarebook.records.chain import Head
from tarebook.records.definition import TakenBy
from tarebook.records.events import LONE_GROUP, Event, Received
from tarebook.records.fold import Folded
from tarebook.records.readings import RunTable
from tarebook.records.sheet import NOTE, RUN

IMPORT: Final = "import"
"""What an event that came from a sheet names as its device."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unrecorded:
    """A cell of a sheet with something that was never recorded.

    Attributes
    ----------
    run, column : str
    place : str
        Where it stands in the sheet, in words.
    found : str
        What stands there.
    counts : str
        What counts in the record; empty if nothing does.
    """

    run: str
    column: str
    place: str
    found: str
    counts: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """What counts in the record, was once in the sheet, and stands there no longer.

    Attributes
    ----------
    event : Event
    has_row : bool
        Whether its run still has a row in the sheet.
    """

    event: Event
    has_row: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """In what a sheet differs from the record beside it.

    Attributes
    ----------
    unrecorded : tuple of Unrecorded
    left_out : tuple of LeftOut
    """

    unrecorded: tuple[Unrecorded, ...] = ()
    left_out: tuple[LeftOut, ...] = ()

    @property
    def n_differing(self) -> int:
        """The number of entries in which they differ."""
        return len(self.unrecorded) + len(self.left_out)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingsSource:
    """What results rest on.

    Attributes
    ----------
    head : Head or None
        End of the record whose readings they are; None for those of a sheet.
    experiment : str
        Key of the experiment in the record; empty for those of a sheet.
    group : str
        Whose.
    beside : Beside
        In what the sheet differs from the record, which is used.
    taken_by : tuple of TakenBy
        By which definitions the readings were taken; empty for those of a sheet.
    definition_now : str
        Digest of the definition with which results are found; empty for readings of a sheet.
    set_back : tuple of int
        Events of the record before which its clock was set back.
    n_lost : int
        Events that the record once held more than now, as far as is known beside it.
    is_other : bool
        Whether it is another record than was there before, or goes on otherwise.
    """

    head: Head | None = None
    experiment: str = ""
    group: str = LONE_GROUP
    beside: Beside = Beside()
    taken_by: tuple[TakenBy, ...] = ()
    definition_now: str = ""
    set_back: tuple[int, ...] = ()
    n_lost: int = 0
    is_other: bool = False


def unrecorded(table: RunTable, folded: Folded) -> tuple[Unrecorded, ...]:
    """Return what stands in a sheet and was never recorded, not even as what no longer counts.

    Parameters
    ----------
    table : RunTable
        The sheet.
    folded : Folded
        The record of the group.
    """
    events = [entry.event for entry in folded.entries]
    known = {
        (event.run, event.column, event.typed if event.column == NOTE else event.number)
        for event in events
    }
    known |= {(run, NOTE, note) for run, note in folded.table.notes.items()}
    there = [(r.run, r.quantity.value, r.typed, r.place) for r in table.readings]
    there += [(run, NOTE, note, f"run {run}, note") for run, note in table.notes.items()]
    return tuple(
        Unrecorded(
            run=run, column=column, place=place, found=found, counts=_counts(folded, run, column)
        )
        for run, column, found, place in there
        if (run, column, found) not in known
    )


def _counts(folded: Folded, run: str, column: str) -> str:
    counting = [entry.event for entry in folded.of(run, column) if entry.counts]
    return "; ".join(event.number or event.typed for event in counting)


def left_out(table: RunTable, folded: Folded, received: Sequence[Received]) -> tuple[LeftOut, ...]:
    """Return what counts and was in a sheet, but is not in it now.

    What came from a sheet was in it. What was read at the bench was in it if the sheet was written
    out since: then something that was read later still stands in it.

    Parameters
    ----------
    table : RunTable
        The sheet.
    folded : Folded
        The record of the group.
    received : sequence of Received
        The same in the order in which it came.
    """
    ids = {entry.event.id for entry in folded.entries if entry.counts}
    counting = [one for one in received if one.event.id in ids and one.event.column != RUN]
    typed = Counter(
        (reading.run, reading.quantity.value, reading.typed) for reading in table.readings
    )
    n_typed = Counter((reading.run, reading.quantity.value) for reading in table.readings)
    n_counting = Counter((one.event.run, one.event.column) for one in counting)
    gone, written_out = [], 0
    for one in counting:
        run, column = one.event.run, one.event.column
        if column == NOTE:
            stands = bool(table.notes.get(run))
        elif typed[run, column, one.event.number]:
            typed[run, column, one.event.number] -= 1
            stands = True
            if one.event.device != IMPORT:
                written_out = one.sequence
        else:
            # Where as much stands there as counts, it was altered and not left out.
            stands = n_typed[run, column] >= n_counting[run, column]
        if not stands:
            gone.append(one)
    return tuple(
        LeftOut(event=one.event, has_row=one.event.run in table.runs)
        for one in gone
        if one.event.device == IMPORT or one.sequence < written_out
    )


def owner_of(table: RunTable, groups: Mapping[str, Folded]) -> str:
    """Return the group most of whose readings stand in a sheet; empty if it is nobody's.

    Parameters
    ----------
    table : RunTable
    groups : mapping of name to Folded
    """
    if len(groups) == 1:
        return next(iter(groups))
    typed = {(reading.run, reading.quantity.value, reading.typed) for reading in table.readings}
    n_there = {
        group: sum((r.run, r.quantity.value, r.typed) in typed for r in folded.table.readings)
        for group, folded in groups.items()
    }
    owner = max(n_there, key=n_there.__getitem__, default="")
    return owner if n_there.get(owner) else ""
