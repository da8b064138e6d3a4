"""Where readings come from: the sheet or the record, and in what the two differ."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.records.chain import Head
from tarebook.records.definition import TakenBy
from tarebook.records.events import LONE_GROUP
from tarebook.records.fold import Folded
from tarebook.records.readings import RunTable
from tarebook.records.sheet import NOTE


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
    unrecorded : tuple of Unrecorded
        What stands in the sheet beside the record and is not used.
    taken_by : tuple of TakenBy
        By which definitions the readings were taken; empty for those of a sheet.
    definition_now : str
        Digest of the definition with which results are found; empty for readings of a sheet.
    set_back : tuple of int
        Events of the record before which its clock was set back.
    """

    head: Head | None = None
    experiment: str = ""
    group: str = LONE_GROUP
    unrecorded: tuple[Unrecorded, ...] = ()
    taken_by: tuple[TakenBy, ...] = ()
    definition_now: str = ""
    set_back: tuple[int, ...] = ()


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
