"""What the bench page shows: a series and its runs as plain dicts."""

from __future__ import annotations

import threading
from collections.abc import Mapping, Sequence
from functools import lru_cache

from tarebook.api.bench.group_record import MOST_LOOKED_AT, GroupRecord, RunRecord
from tarebook.api.bench.say import Look, look_at_group, look_at_run, outward, too_many
from tarebook.api.bench.steps import hints_of, steps
from tarebook.api.bench.workspace import Workspace
from tarebook.core.units import millilitres
from tarebook.diagnosis.to_come import Range
from tarebook.records.complete import asked_of, is_needed, last_part, not_asked, quantity_of
from tarebook.records.events import Event, Received, time_text
from tarebook.records.fold import EVENTS_IN_MIND, Conflict, Entry
from tarebook.records.readings import PAIRS, Quantity, RunTable, number_value
from tarebook.report import typeset
from tarebook.report.languages.writing import Writing, in_files
from tarebook.report.payload import Json, findings_payload
from tarebook.series.experiment import Experiment

MUCH = 400
"""Entries of one answer, from which on it ends with a whole run: five times as many as a row of
eight ordinary cups has."""

AN_EMPTY_RUN = 10
"""So many entries is what is said of a run worth, beside its own."""

_MODEL = threading.Lock()
"""One run, or what is the same for all of a group, is looked at by the model at a time: more would
only take turns. Between two runs of a long series others have theirs."""


def series_view(
    workspace: Workspace, group: str, *, begin: int = 0, how: Writing | None = None
) -> Json:
    """Return what the bench page of a group needs, also without a network.

    Parameters
    ----------
    workspace : Workspace
    group : str
    begin : int
        How many runs were given already: a long series is given in pages. The `next` of an answer
        is the `begin` of the next one; None where nothing is left.
    how : Writing, optional
        How the device is spoken to; as in files if not given.
    """
    how = how or in_files()
    experiment = workspace.experiment
    record = workspace.of_group(group)
    rest = _runs(workspace, record)[begin:]
    n_given = n_of_page(record, rest)
    return {
        "experiment": experiment_view(workspace),
        "group": group,
        "diluent": experiment.diluent,
        "reagent": experiment.reagent.name,
        "sample": experiment.sample.name,
        "vessel": experiment.vessel.name,
        "steps": [step.as_json() for step in steps(experiment, how)],
        "runs": runs_view(workspace, group, record, rest[:n_given], how),
        "next": begin + n_given if n_given < len(rest) else None,
        "head": record.head,
    }


def n_of_page(record: GroupRecord, runs: Sequence[str]) -> int:
    """Return how many of some runs, from the first on, one answer holds.

    Parameters
    ----------
    record : GroupRecord
    runs : sequence of str
    """
    much = 0
    for n_given, run in enumerate(runs):
        of_run = record.runs.get(run)
        much += AN_EMPTY_RUN + (min(len(of_run.received), MOST_LOOKED_AT) if of_run else 0)
        if much > MUCH and n_given:
            return n_given
    return len(runs)


def experiment_view(workspace: Workspace) -> Json:
    """Return what stands at the head of every page."""
    experiment = workspace.experiment
    return {
        "title": experiment.title,
        "equation": experiment.reaction.equation.text,
        "equation_shown": typeset.equation(experiment.reaction.equation),
        "invented": experiment.invented,
        "hash": experiment.digest,
    }


def runs_view(
    workspace: Workspace,
    group: str,
    record: GroupRecord,
    runs: Sequence[str],
    how: Writing,
    *,
    looks: bool = True,
) -> list[Json]:
    """Return some runs of a group as they stand in its record.

    Parameters
    ----------
    workspace : Workspace
    group : str
    record : GroupRecord
        Of the group.
    runs : sequence of str
    how : Writing
    looks : bool
        Whether to look at what the readings mean; each run says whether it was `looked` at.
    """
    if not looks:
        return [_run(workspace, group, record, None, run, how) for run in runs]
    experiment, table = workspace.experiment, record.looked_at
    slips = workspace.slips.of_group(experiment, table, group, record.head)
    with _MODEL:
        look = look_at_group(experiment, table, workspace.before, slips)
    return [_run(workspace, group, record, look, run, how) for run in runs]


def _runs(workspace: Workspace, record: GroupRecord) -> tuple[str, ...]:
    """Return the runs in the order of the sheet, those planned and not begun in their place."""
    planned = workspace.opened.planned
    return (*planned, *(run for run in record.order if run not in planned))


def _run(
    workspace: Workspace,
    group: str,
    record: GroupRecord,
    look: Look | None,
    run: str,
    how: Writing,
) -> Json:
    experiment = workspace.experiment
    of_run = record.runs.get(run) or record.not_begun(run)
    torn = {event.id for conflict in of_run.conflicts for event in conflict.events}
    return {
        "run": run,
        "targets": _targets(workspace, run),
        "hints": hints_of(experiment, run, how),
        "not_asked": [quantity.value for quantity in not_asked(experiment, run)],
        "readings": [
            _reading(entry, record.known.by_id[entry.event.id], torn) for entry in of_run.entries
        ],
        **_said_of(workspace, group, record, look, of_run, how),
        "conflicts": [_conflict(conflict) for conflict in of_run.conflicts],
    }


def _said_of(
    workspace: Workspace,
    group: str,
    record: GroupRecord,
    look: Look | None,
    of_run: RunRecord,
    how: Writing,
) -> Json:
    """Return what is said of a run, what is to be expected in it and what comes next."""
    if of_run.is_crowded:
        return _crowded(of_run, how)
    if look is None:
        return {"looked": False, "expected": {}, "said": [], "next": None}
    experiment, run = workspace.experiment, of_run.run
    table = _with_run(record.looked_at, run)
    with _MODEL:
        belief = workspace.beliefs.of_run(group, run, workspace.contents)
        ranges, said = look_at_run(experiment, table, run, belief, of_run.conflicts, look)
    return {
        "looked": True,
        "expected": _expected(experiment, table, run, ranges),
        "said": [
            _where_read(experiment, finding)
            for finding in findings_payload(said, of_one_run=True, how=how)
        ],
        "next": _next(experiment, table, run),
    }


def _crowded(of_run: RunRecord, how: Writing) -> Json:
    """Return what is said of a run with more entries than anybody reads at one cup."""
    found = too_many(of_run.run, len(of_run.received), MOST_LOOKED_AT)
    return {
        "looked": True,
        "expected": {},
        "said": findings_payload([found], of_one_run=True, how=how),
        "next": None,
    }


def _next(experiment: Experiment, table: RunTable, run: str) -> str | None:
    """Return the column of what is to be read next; None when the run is done."""
    for quantity in asked_of(experiment, run):
        known = table.of(run, quantity) or table.written(run, quantity_of(quantity))
        if is_needed(quantity) and not known:
            return quantity.value
    return None


def _expected(
    experiment: Experiment, table: RunTable, run: str, ranges: Mapping[Quantity, Range]
) -> Json:
    """Return the ranges of what is read, where a quantity takes two readings of the second one."""
    expected: Json = {}
    for quantity, found in ranges.items():
        part, around = last_part(experiment, quantity), found
        if part is not quantity:
            pair = PAIRS[quantity]
            first = table.mean_of(run, pair.in_order[0])
            if first is None:
                continue
            grows = part is pair.more
            ends = (
                (first + found.low, first + found.high)
                if grows
                else (first - found.high, first - found.low)
            )
            around = Range(low=ends[0], high=ends[1])
        expected[part.value] = outward(part, around)
    return expected


def _where_read(experiment: Experiment, finding: Json) -> Json:
    """Return what is said under the step at which a quantity is read."""
    column = finding["reading"]
    if column in {quantity.value for quantity in PAIRS}:
        return {**finding, "reading": last_part(experiment, Quantity(column)).value}
    return finding


def _with_run(table: RunTable, run: str) -> RunTable:
    if run in table.runs:
        return table
    return RunTable(runs=(*table.runs, run), readings=table.readings, notes=table.notes)


def _targets(workspace: Workspace, run: str) -> Json:
    experiment = workspace.experiment
    targets: Json = {Quantity.SAMPLE.value: experiment.sample_asked(run)}
    for planned in experiment.planned:
        if planned.run == run:
            targets[Quantity.REAGENT.value] = round(millilitres(planned.reagent), 9)
            targets[Quantity.DILUENT.value] = round(millilitres(planned.diluent), 9)
    pieces = experiment.pieces_asked(run)
    if pieces is not None:
        targets[Quantity.PIECES.value] = pieces
    return targets


def _reading(entry: Entry, received: Received, torn: set[str]) -> Json:
    return {
        **_as_sent(entry.event),
        "received_at": time_text(received.received),
        "current": entry.counts,
        "conflict": entry.event.id in torn,
    }


# Each answer tells all that was read in a run, and all but one reading stood in the last answer.
@lru_cache(maxsize=EVENTS_IN_MIND)
def _as_sent(event: Event) -> Json:
    """Return what a reading says of itself, which stays; not to be changed."""
    return {
        "id": event.id,
        "quantity": event.column,
        "repeat": event.repeat,
        "typed": event.typed,
        "number": event.number,
        "value": number_value(event.number) if event.number else None,
        "unit": event.unit,
        "kind": event.kind.value,
        "supersedes": event.supersedes or None,
        "reason": event.reason,
        "who": event.who,
        "device": event.device,
        "instrument": event.instrument,
        "taken_at": time_text(event.taken),
    }


def _conflict(conflict: Conflict) -> Json:
    return {
        "quantity": conflict.column,
        "repeat": conflict.repeat,
        "ids": [event.id for event in conflict.events],
    }
