"""Who did what with the cups, and when: from the readings that say so."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tarebook.records.readings import RunTable
from tarebook.records.stage import READ_BY, Stage


@dataclass(frozen=True, slots=True, kw_only=True)
class Handling:
    """One step of the work on a row, as far as the record says.

    Attributes
    ----------
    stage : Stage
        That the step leads to.
    who : tuple of str
        In the order in which they first took a reading.
    first, last : datetime
        When the first and the last of its readings were taken.
    """

    stage: Stage
    who: tuple[str, ...]
    first: dt.datetime
    last: dt.datetime


def handling_of(table: RunTable) -> tuple[Handling, ...]:
    """Return the steps of which the record says when they were done, in the order of the work.

    Parameters
    ----------
    table : RunTable
        Readings without a time, as those of a sheet, say nothing.
    """
    steps = []
    for stage in Stage:
        at = [
            (reading.taken, reading.who)
            for reading in table.readings
            if reading.taken is not None and READ_BY[reading.quantity] is stage
        ]
        if at:
            at.sort()
            who = tuple(dict.fromkeys(name for _, name in at if name))
            steps.append(Handling(stage=stage, who=who, first=at[0][0], last=at[-1][0]))
    return tuple(steps)
