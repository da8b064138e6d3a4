"""What one group recorded, run by run: what comes later is added to what is known."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from tarebook.records.complete import completed
from tarebook.records.events import Event, Received
from tarebook.records.fold import (
    Conflict,
    Entry,
    Folded,
    FoldedRun,
    fold_run,
    joined,
    runs_in_order,
    table_of_runs,
    when,
)
from tarebook.records.readings import RunTable
from tarebook.records.sheet import NOTE, RUN
from tarebook.series.experiment import Experiment

MOST_LOOKED_AT = 200
"""Entries of one run that the bench shows and looks at: an ordinary cup has ten, one of which every
reading was taken ten times and corrected once has as many."""


@dataclass(slots=True)
class Known:
    """The events of a group by what they are looked for; it grows with the record.

    Attributes
    ----------
    by_id : dict of id to Received
    naming : dict of id to tuple of Event
        The corrections and withdrawals by the id that they name, in the order of `when`.
    """

    by_id: dict[str, Received] = field(default_factory=dict)
    naming: dict[str, tuple[Event, ...]] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class RunRecord:
    """What a group recorded of one run.

    Attributes
    ----------
    run : str
    received : tuple of Received
        In the order in which they were received.
    experiment : Experiment
    known : Known
        Of the group.
    first : key
        When its first event was taken.
    """

    run: str
    received: tuple[Received, ...] = ()
    experiment: Experiment
    known: Known
    first: tuple[object, ...] = ()
    _placing: tuple[Event, ...] = ()

    def grown(self, new: Sequence[Received]) -> RunRecord:
        """Return the same with what came later, and with what became of the events before."""
        first = min([*([self.first] if self.first else []), *(when(one.event) for one in new)])
        placing = tuple(one.event for one in new if one.event.column == RUN)
        return RunRecord(
            run=self.run,
            received=(*self.received, *new),
            experiment=self.experiment,
            known=self.known,
            first=first,
            _placing=(*self._placing, *placing),
        )

    @property
    def is_crowded(self) -> bool:
        """Whether it has more entries than the bench looks at."""
        return len(self.received) > MOST_LOOKED_AT

    @cached_property
    def folded(self) -> FoldedRun:
        """All of it, folded."""
        events = [one.event for one in self.received]
        return fold_run(self.run, events, self.known.naming, self.known.by_id)

    @cached_property
    def completed(self) -> FoldedRun:
        """The same with what follows from it and from the plan: runs do not ask each other."""
        table = completed(self.experiment, table_of_runs([self.folded], (self.run,)))
        return replace(self.folded, readings=table.readings)

    @property
    def entries(self) -> tuple[Entry, ...]:
        """What the bench shows, in the order in which it was taken: of too many those last sent."""
        if not self.is_crowded:
            return self.folded.entries
        last = sorted((one.event for one in self.received[-MOST_LOOKED_AT:]), key=when)
        return tuple(self._entry(event) for event in last)

    @property
    def conflicts(self) -> tuple[Conflict, ...]:
        """What was said twice; nothing is chosen among too many."""
        return () if self.is_crowded else self.folded.conflicts

    @property
    def place(self) -> int | None:
        """Its place in the sheet, where one is recorded."""
        counting = [event for event in self._placing if self._entry(event).counts]
        return min((int(event.number) for event in counting), default=None)

    def _entry(self, event: Event) -> Entry:
        return Entry(event=event, superseded_by=self.known.naming.get(event.id, ()))


@dataclass(frozen=True, kw_only=True)
class GroupRecord:
    """What a group recorded.

    Attributes
    ----------
    experiment : Experiment
    planned : tuple of str
        The runs of the plan.
    received : tuple of Received
        The events, in the order in which they were received.
    runs : mapping of run to RunRecord
        Those of which anything was recorded.
    n_characters, n_of_notes : int
        Characters of all that was sent, and of the notes alone.
    known : Known
        The events by what they are looked for; it may know of newer ones already.
    """

    experiment: Experiment
    planned: tuple[str, ...]
    received: tuple[Received, ...] = ()
    runs: Mapping[str, RunRecord] = field(default_factory=dict)
    n_characters: int = 0
    n_of_notes: int = 0
    known: Known = field(default_factory=Known)

    def grown(self, new: Sequence[Received]) -> GroupRecord:
        """Return the same with what came later; only the runs that it is about are made anew.

        Parameters
        ----------
        new : sequence of Received
            In the order in which they were received.
        """
        of_run: dict[str, list[Received]] = {}
        for one in new:
            of_run.setdefault(one.event.run, []).append(one)
            self.known.by_id[one.event.id] = one
            if named := one.event.supersedes:
                others = self.known.naming.get(named, ())
                self.known.naming[named] = tuple(sorted((*others, one.event), key=when))
        runs = dict(self.runs)
        for run in dict.fromkeys([*of_run, *self._changed_by(new)]):
            before = runs.get(run) or self.not_begun(run)
            runs[run] = before.grown(of_run.get(run, ()))
        notes = [len(one.event.typed) for one in new if one.event.column == NOTE]
        return GroupRecord(
            experiment=self.experiment,
            planned=self.planned,
            received=(*self.received, *new),
            runs=runs,
            n_characters=self.n_characters + sum(characters_of(one.event) for one in new),
            n_of_notes=self.n_of_notes + sum(notes),
            known=self.known,
        )

    def not_begun(self, run: str) -> RunRecord:
        """Return what is recorded of a run before anything is."""
        return RunRecord(run=run, experiment=self.experiment, known=self.known)

    def _changed_by(self, new: Iterable[Received]) -> set[str]:
        """Return the runs of events whose standing those that came may have changed."""
        changed: set[str] = set()
        for one in new:
            for named in {one.event.id, one.event.supersedes} & self.known.naming.keys():
                changed |= {event.run for event in self.known.naming[named]}
                there = self.known.by_id.get(named)
                changed |= {there.event.run} if there else set()
        return changed

    @property
    def is_crowded(self) -> bool:
        """Whether a run of it has more entries than the bench looks at."""
        return any(one.is_crowded for one in self.runs.values())

    @property
    def head(self) -> int:
        """Number of the group's last event in the record; 0 before the first."""
        return self.received[-1].sequence if self.received else 0

    @cached_property
    def order(self) -> tuple[str, ...]:
        """The runs in the order of the sheet; those of the plan where nothing was recorded."""
        first = {run: one.first for run, one in self.runs.items()}
        places = {run: at for run, one in self.runs.items() if (at := one.place) is not None}
        return runs_in_order(first, places, self.planned)

    @cached_property
    def folded(self) -> Folded:
        """All of it, folded."""
        return joined([one.folded for one in self.runs.values()], self.order, self.planned)

    @cached_property
    def table(self) -> RunTable:
        """What counts, with what follows from it and from the plan."""
        runs = [self.runs[run].completed for run in self.order if run in self.runs]
        return table_of_runs(runs, self.order)

    @cached_property
    def looked_at(self) -> RunTable:
        """The same without the runs that have more entries than the bench looks at."""
        if not self.is_crowded:
            return self.table
        order = [run for run in self.order if not self.runs[run].is_crowded]
        return table_of_runs([self.runs[run].completed for run in order], order)


def characters_of(event: Event) -> int:
    """Return how many characters of an event a person or a device chose."""
    texts = (event.run, event.typed, event.who, event.device, event.instrument, event.reason)
    return sum(len(text) for text in texts)
