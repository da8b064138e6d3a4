"""What the app at the bench can do: open a folder, show a series, take readings, show results."""

from __future__ import annotations

from tarebook.api.bench.access import (
    CODE_LENGTH,
    MOST_GROUPS,
    Access,
    Group,
    UnknownGroupError,
    plain_code,
)
from tarebook.api.bench.balance import BalancePort, LineFormatError, NoPortError
from tarebook.api.bench.cautions import always, cautions
from tarebook.api.bench.documents import (
    MEDIA,
    Sheet,
    sheet_made,
    sheets_made,
    source_of_group,
    table_of_group,
)
from tarebook.api.bench.ended import EndedSessions
from tarebook.api.bench.fair import Turn
from tarebook.api.bench.language import messages_of_scripts, noticed, spoken
from tarebook.api.bench.only_one import AlreadyOpenError, hold, refuse_second
from tarebook.api.bench.planned import (
    BEST,
    plan_curve,
    plan_for_page,
    refused_on_page,
    sliders,
    wishes_of,
)
from tarebook.api.bench.receipts import new_receipt, refuse_if_lost
from tarebook.api.bench.receive import MOST_EVENTS, record_events
from tarebook.api.bench.reports import HANDOVER_FILES, REPORT_FILES, report_file
from tarebook.api.bench.results import GroupResult, group_result, progress, results_view, weighed
from tarebook.api.bench.sheet_upload import take_sheet
from tarebook.api.bench.views import experiment_view, series_view
from tarebook.api.bench.workspace import Workspace, open_workspace
from tarebook.api.folder import CUP_LABELS
from tarebook.api.record import RecordError
from tarebook.planning.wishes import Wishes
from tarebook.report.languages.writing import Writing

__all__ = [
    "BEST",
    "CODE_LENGTH",
    "CUP_LABELS",
    "HANDOVER_FILES",
    "MEDIA",
    "MOST_EVENTS",
    "MOST_GROUPS",
    "REPORT_FILES",
    "Access",
    "AlreadyOpenError",
    "BalancePort",
    "EndedSessions",
    "Group",
    "GroupResult",
    "LineFormatError",
    "NoPortError",
    "RecordError",
    "Sheet",
    "Turn",
    "UnknownGroupError",
    "Wishes",
    "Workspace",
    "Writing",
    "always",
    "cautions",
    "experiment_view",
    "group_result",
    "hold",
    "messages_of_scripts",
    "new_receipt",
    "noticed",
    "open_workspace",
    "plain_code",
    "plan_curve",
    "plan_for_page",
    "progress",
    "record_events",
    "refuse_if_lost",
    "refuse_second",
    "refused_on_page",
    "report_file",
    "results_view",
    "series_view",
    "sheet_made",
    "sheets_made",
    "sliders",
    "source_of_group",
    "spoken",
    "table_of_group",
    "take_sheet",
    "weighed",
    "wishes_of",
]
