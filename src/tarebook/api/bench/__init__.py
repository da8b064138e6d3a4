"""What the app at the bench can do: open a folder, show a series, take readings, show results."""

from __future__ import annotations

from tarebook.api.bench.access import CODE_LENGTH, MOST_GROUPS, Access, Group, UnknownGroupError
from tarebook.api.bench.receive import MOST_EVENTS, record_events
from tarebook.api.bench.results import GroupResult, group_result, results_view
from tarebook.api.bench.views import experiment_view, series_view
from tarebook.api.bench.workspace import Workspace, open_workspace

__all__ = [
    "CODE_LENGTH",
    "MOST_EVENTS",
    "MOST_GROUPS",
    "Access",
    "Group",
    "GroupResult",
    "UnknownGroupError",
    "Workspace",
    "experiment_view",
    "group_result",
    "open_workspace",
    "record_events",
    "results_view",
    "series_view",
]
