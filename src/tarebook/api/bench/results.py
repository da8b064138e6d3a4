"""What results and projector show while readings come."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tarebook.api.bench.belief import finished
from tarebook.api.bench.group_record import GroupRecord
from tarebook.api.bench.planned import axis_payload, curve_points
from tarebook.api.bench.reductions import Reduced
from tarebook.api.bench.views import experiment_view
from tarebook.api.bench.workspace import Workspace
from tarebook.core import defaults
from tarebook.core.errors import OutOfRangeError, TarebookError
from tarebook.planning.expected import expect
from tarebook.records.events import time_text
from tarebook.records.readings import Quantity, RunTable
from tarebook.report.axis_words import axis_words
from tarebook.report.payload import Json

WANTED = (Quantity.REAGENT, Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
"""The readings that make a point of the class's picture."""

ENDS = ("low", "high")

NOBODY = ""
"""Stands for all groups that have recorded nothing; no group has this name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupResult:
    """The result of one group as far as it is known.

    Attributes
    ----------
    group : str
    record : GroupRecord
    reduced : Reduced or None
        None before the first reduction is there.
    pending : bool
        Whether a newer one is under way.
    why_not : str
        Why there is none and will be none with these readings.
    """

    group: str
    record: GroupRecord
    reduced: Reduced | None
    pending: bool
    why_not: str = ""


def group_result(workspace: Workspace, group: str) -> GroupResult:
    """Return the result of a group, and begin its reduction if readings came.

    Before the first reading that is what is planned: the same for every group, worked out once.
    """
    record = workspace.for_results(group)
    table = record.table
    whose, upto = (group, record.head) if table.was_read else (NOBODY, 0)
    try:
        reduced, pending = workspace.reductions.latest(workspace.experiment, table, whose, upto)
    except TarebookError as error:
        return GroupResult(
            group=group, record=record, reduced=None, pending=False, why_not=str(error)
        )
    return GroupResult(group=group, record=record, reduced=reduced, pending=pending)


def weighed(record: GroupRecord) -> int:
    """Return how many runs were weighed to the end."""
    table = record.table
    return sum(bool(table.of(run, Quantity.FINAL)) for run in table.runs)


def progress(workspace: Workspace) -> dict[str, int]:
    """Return how many runs each group has finished."""
    return {
        group: len(finished(workspace.for_results(group).table)) for group in workspace.groups()
    }


def results_view(
    workspace: Workspace, groups: Sequence[str], *, after: int = -1, expected: bool = False
) -> Json:
    """Return the points and results of some groups.

    Parameters
    ----------
    workspace : Workspace
    groups : sequence of str
        Those that the reader may see.
    after : int
        The `head` that the reader knows; below 0 everything is given.
    expected : bool
        Whether to add the curve to expect.
    """
    records = [workspace.for_results(group) for group in groups]
    head = max((record.head for record in records), default=0)
    results = [
        group_result(workspace, group)
        if record.table.was_read
        else GroupResult(group=group, record=record, reduced=None, pending=False)
        for group, record in zip(groups, records, strict=True)
    ]
    pending = any(result.pending for result in results)
    if after == head and not pending:
        return {"head": head, "changed": False, "pending": False}
    return {
        "head": head,
        "changed": True,
        "pending": pending,
        "experiment": experiment_view(workspace),
        "axis": axis_payload(workspace.experiment),
        "groups": [_group(workspace, result) for result in results],
        "expected": list(_expected(workspace)) if expected else [],
    }


def _group(workspace: Workspace, result: GroupResult) -> Json:
    table = result.record.table
    series = result.reduced.payload["series"] if result.reduced else {}
    return {
        "group": result.group,
        "n_runs": len(workspace.opened.planned),
        "n_complete": len(finished(table)),
        "points": _points(workspace, result),
        "usual": series.get("usual"),
        "full": series.get("full"),
        "findings": result.reduced.payload["findings"] if result.reduced else [],
        "why_not": result.why_not,
    }


def _points(workspace: Workspace, result: GroupResult) -> list[Json]:
    """Return where each run stands on the axis of the row, brought to the same of what is fixed.

    The ends of the 95 % interval of the loss come with the reduction; None before it is there.
    """
    record = result.record
    table, words = record.table, axis_words(workspace.experiment)
    reduced = result.reduced.payload["runs"] if result.reduced else []
    spread = {run["run"]: run["gas_usual_g"] for run in reduced}
    last = {
        one.event.run: one.received
        for one in record.received
        if one.event.column == Quantity.FINAL.value
    }
    points = []
    for run in table.runs:
        mean = _means(table, run)
        if mean is None:
            continue
        volume, sample = mean[Quantity.REAGENT], mean[Quantity.SAMPLE]
        grown, same = (volume, sample) if words.axis.grows == "reagent" else (sample, volume)
        if same <= 0:
            continue
        scale = words.axis.fixed / same
        lost = mean[Quantity.LIQUID] + sample - mean[Quantity.FINAL]
        around = spread.get(run)
        low, high = (
            (None, None)
            if around is None
            else ((lost + around[end] - around["value"]) * scale for end in ENDS)
        )
        points.append(
            {
                "run": run,
                "along": words.place(grown) * scale,
                "lost_g": lost * scale,
                "low_g": low,
                "high_g": high,
                "sample_g": sample,
                "at": time_text(last[run]) if run in last else None,
            }
        )
    return points


def _means(table: RunTable, run: str) -> dict[Quantity, float] | None:
    means = {}
    for quantity in WANTED:
        value = table.mean_of(run, quantity)
        if value is None:
            return None
        means[quantity] = value
    return means


def _expected(workspace: Workspace) -> tuple[Json, ...]:
    """Return the curve to expect before any reading; computed once, the definition stays."""
    if workspace.expected_curve is None:
        workspace.expected_curve = _curve(workspace)
    return workspace.expected_curve


def _curve(workspace: Workspace) -> tuple[Json, ...]:
    rng = np.random.Generator(np.random.SFC64(defaults.SEED))
    try:
        found = expect(workspace.experiment, workspace.contents, rng)
    except OutOfRangeError:
        # The plan says why; the picture then has no curve to compare with.
        return ()
    return tuple(curve_points(workspace.experiment, found))
