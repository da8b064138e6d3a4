"""Check the readings of every group of a folder."""

from __future__ import annotations

from pathlib import Path

from tarebook.api.definition import read_definition
from tarebook.api.folder import has_record, refuse_no_folder
from tarebook.api.handover import hand_over
from tarebook.api.reduce_series import recorded_tables, slip_odds
from tarebook.core.errors import AskedFor, Fault, InputError
from tarebook.diagnosis.acid import all_said, weigh_with_acid
from tarebook.diagnosis.checks import check_table
from tarebook.diagnosis.columns import judged
from tarebook.diagnosis.slips.robust import handle
from tarebook.findings.finding import Finding, most_severe_first
from tarebook.records.complete import completed
from tarebook.records.fold import natural
from tarebook.records.stage import stage_of


def check_class(folder: Path) -> dict[str, tuple[Finding, ...]]:
    """Return the findings of every group that recorded readings, the most severe first.

    Readings are checked and slips weighed; nothing is reduced, so that a class takes seconds.

    Parameters
    ----------
    folder : Path

    Raises
    ------
    InputError
        With the faults of the definition and of the history of slips, or if no group recorded.
    RecordError
        If the record cannot be opened.
    """
    refuse_no_folder(folder)
    faults: list[Fault] = []
    experiment, odds = None, None
    try:
        experiment = read_definition(folder)
    except InputError as error:
        faults += error.faults
    try:
        odds = slip_odds(folder)
    except InputError as error:
        faults += error.faults
    if experiment is None or odds is None:
        raise InputError(faults)
    tables = recorded_tables(folder) if has_record(folder) else {}
    if not tables:
        fault = Fault(
            where=AskedFor.EVERY_GROUP,
            found="no readings recorded at the bench",
            allowed="the option only where groups recorded",
            do=f"Leave it out to check the sheet: tarebook check {folder}",
        )
        raise InputError([fault])
    found = {}
    for name in sorted(tables, key=natural):
        table = completed(experiment, tables[name])
        weighed = weigh_with_acid(experiment, table, odds)
        plain = judged(check_table(experiment, table), weighed.columns)
        handled = handle(table, plain, all_said(experiment, table, weighed))
        stage = stage_of(table, experiment)
        if stage.has_results:
            found[name] = most_severe_first(handled.findings)
        else:
            found[name] = hand_over(experiment, table, stage, handled).findings
    return found
