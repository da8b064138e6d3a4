"""Read an experiment folder, check it, reduce it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path

from tarebook.api.definition import read_definition
from tarebook.api.folder import (
    HISTORY,
    READINGS,
    has_record,
    read_text,
    refuse_no_folder,
)
from tarebook.api.handover import hand_over
from tarebook.core import defaults
from tarebook.core.errors import AskedFor, Fault, InputError
from tarebook.core.version import VERSION
from tarebook.diagnosis.acid import acid_finding, weigh_with_acid, withheld
from tarebook.diagnosis.checks import check_table
from tarebook.diagnosis.columns import WITHHELD, judged
from tarebook.diagnosis.handover_findings import so_far
from tarebook.diagnosis.series import check_results
from tarebook.diagnosis.slips.history import parse_history
from tarebook.diagnosis.slips.odds import SlipOdds, default_odds
from tarebook.diagnosis.slips.robust import handle, say_left_out
from tarebook.diagnosis.source import check_source
from tarebook.diagnosis.waiting import check_waiting
from tarebook.findings.finding import Finding, Severity, most_severe_first
from tarebook.model.cup_chemistry import gas_kept_is_unknown
from tarebook.records.complete import completed
from tarebook.records.readings import RunTable
from tarebook.records.sheet import parse_sheet
from tarebook.records.source import ReadingsSource
from tarebook.records.stage import stage_of
from tarebook.reduction.joint.full import reduce_full
from tarebook.reduction.joint.results import FullReduction
from tarebook.reduction.results import SetAside
from tarebook.reduction.usual_series import reduce_usual
from tarebook.report.outcome import Outcome
from tarebook.series.experiment import Experiment

FEWEST_DRAWS, MOST_DRAWS = 1_000, 5_000_000
MOST_NUMBERS = 50_000_000
"""Runs times draws: three numbers of eight bytes are kept for each, 1.2 GB in all."""


def load(folder: Path, group: str = "") -> tuple[Experiment, RunTable]:
    """Return definition and readings of a folder; see `load_source`."""
    experiment, table, _ = load_source(folder, group)
    return experiment, table


def load_source(folder: Path, group: str = "") -> tuple[Experiment, RunTable, ReadingsSource]:
    """Return definition and readings of a folder, and where the readings come from.

    The record is what was taken at the bench, so its readings count where there are any;
    `readings.csv` counts where nothing was recorded.

    Parameters
    ----------
    folder : Path
    group : str
        Whose readings; needed only where several groups recorded.

    Raises
    ------
    InputError
        With the faults of both files together, or the groups to choose from.
    RecordError
        If there is a record and it cannot be opened.
    """
    refuse_no_folder(folder)
    faults: list[Fault] = []
    experiment, table, source = None, None, ReadingsSource()
    try:
        experiment = read_definition(folder)
    except InputError as error:
        faults += error.faults
    recorded = _recorded(folder, group) if experiment is not None and has_record(folder) else None
    if recorded is not None:
        table, source = recorded
    if table is None:
        try:
            table = parse_sheet(read_text(folder, READINGS), READINGS)
        except InputError as error:
            faults += error.faults
        if group:
            allowed = "the option only where groups recorded at the bench"
            faults.append(Fault(where=AskedFor.GROUP, found=repr(group), allowed=allowed))
    if faults or experiment is None or table is None:
        raise InputError(faults)
    return experiment, completed(experiment, table), source


def slip_odds(folder: Path) -> SlipOdds:
    """Return how often slips are made: by the history in `slips.toml`, or by the table that ships.

    Raises
    ------
    InputError
        With every fault of the file, if there is one.
    """
    # A link that leads nowhere was meant to be the file.
    if not ((folder / HISTORY).exists() or (folder / HISTORY).is_symlink()):
        return default_odds()
    return parse_history(read_text(folder, HISTORY), HISTORY)


def load_all(
    folder: Path, group: str = ""
) -> tuple[Experiment, RunTable, ReadingsSource, SlipOdds]:
    """Return definition, readings, their source and slip odds, or the faults of all three."""
    refuse_no_folder(folder)
    faults: list[Fault] = []
    odds, loaded = None, None
    try:
        loaded = load_source(folder, group)
    except InputError as error:
        faults += error.faults
    try:
        odds = slip_odds(folder)
    except InputError as error:
        faults += error.faults
    if loaded is None or odds is None:
        raise InputError(faults)
    return (*loaded, odds)


def recorded_tables(folder: Path) -> dict[str, RunTable]:
    """Return the readings of each group that recorded any, by its name."""
    # The SQL toolkit is heavy to import, and most folders have no record.
    from tarebook.api.record import open_record

    with open_record(folder, mode="read") as opened:
        return {
            name: completed(opened.experiment, folded.table)
            for name, folded in opened.groups().items()
            if folded.table.readings
        }


def _recorded(folder: Path, group: str) -> tuple[RunTable, ReadingsSource] | None:
    from tarebook.api.readings_source import recorded_readings
    from tarebook.api.record import open_record

    with open_record(folder, mode="read") as opened:
        return recorded_readings(opened, group)


def check(folder: Path, group: str = "") -> tuple[Finding, ...]:
    """Return the findings of a folder, the most severe first.

    Raises
    ------
    InputError
        If the folder cannot be read.
    """
    return reduce(folder, group=group).findings


def reduce(
    folder: Path,
    *,
    group: str = "",
    seed: int = defaults.SEED,
    draws: int | None = None,
    today: bool = True,
) -> Outcome:
    """Reduce the readings of a folder.

    Parameters
    ----------
    folder : Path
    group : str
        Whose readings, where several groups recorded at the bench.
    seed : int
        Of the Monte Carlo; the same seed gives the same digits.
    draws : int, optional
        Else 100 000, and fewer of a long row.
    today : bool
        Whether to write today's date into the outcome.

    Raises
    ------
    InputError
        If the folder cannot be read.
    """
    faults = list(_option_faults(seed, draws))
    if faults:
        raise InputError(faults)
    experiment, table, source, odds = load_all(folder, group)
    most = MOST_NUMBERS // len(table.runs)
    if draws is not None and draws > most:
        found, allowed = f"{draws} for {len(table.runs)} runs", f"at most {most} for so many runs"
        raise InputError(
            [Fault(where=AskedFor.DRAWS, found=found, allowed=allowed, do="Draw less.")]
        )
    return reduce_table(
        experiment,
        table,
        seed=seed,
        draws=draws,
        made_on=_today() if today else "",
        odds=odds,
        source=source,
    )


def _option_faults(seed: int, draws: int | None) -> Iterator[Fault]:
    if seed < 0:
        do = "Any whole number will do; the same one gives the same digits."
        yield Fault(where=AskedFor.SEED, found=str(seed), allowed="0 or more", do=do)
    if draws is not None and not FEWEST_DRAWS <= draws <= MOST_DRAWS:
        allowed = f"{FEWEST_DRAWS} to {MOST_DRAWS}"
        do = f"Leave the option out for {defaults.DRAWS}, and fewer of a long row."
        yield Fault(where=AskedFor.DRAWS, found=str(draws), allowed=allowed, do=do)


def reduce_table(
    experiment: Experiment,
    table: RunTable,
    *,
    seed: int,
    draws: int | None,
    made_on: str,
    odds: SlipOdds | None = None,
    pictures: bool = True,
    source: ReadingsSource | None = None,
) -> Outcome:
    """Reduce readings that are already in memory.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    seed : int
        Of the Monte Carlo.
    draws : int or None
        None for 100 000, and fewer of a long row.
    made_on : str
        Date for the outcome; may be empty.
    odds : SlipOdds, optional
        How often slips are made; else as the table that ships says.
    pictures : bool
        Whether to work out the waterfall and the band, which take most of the time.
    source : ReadingsSource, optional
        Where the readings come from.
    """
    source = source or ReadingsSource()
    table = _local_times(completed(experiment, table))
    weighed = weigh_with_acid(experiment, table, odds)
    plain = judged(check_table(experiment, table), weighed.columns)
    handled = handle(table, plain, weighed.slips)
    stage = stage_of(table, experiment)
    handed = hand_over(experiment, table, stage, handled) if stage.is_open else None
    usual = reduce_usual(experiment, table, handled.usual_aside, seed=seed, draws=draws)
    if handed is not None and not stage.has_results:
        full = FullReduction(runs=(), series=None, no_series_because=usual.no_series_because)
        findings = handed.findings
    elif weighed.columns is not None:
        # Of such a row no number follows, and every other finding would only repeat it.
        nothing = dict.fromkeys(table.runs, WITHHELD)
        aside = SetAside(unusable=nothing, doubtful={})
        usual = reduce_usual(experiment, table, aside, seed=seed, draws=draws, withheld=WITHHELD)
        full = FullReduction(runs=(), series=None, no_series_because=WITHHELD, is_withheld=True)
        findings = handled.findings
    else:
        usual_content = usual.series.sample_mass_fraction.value if usual.series else None
        full = reduce_full(
            experiment, handled.table, handled.full_aside, usual_content, pictures=pictures
        )
        acid: tuple[Finding, ...] = ()
        if weighed.acid is not None:
            full = withheld(full, weighed.acid)
            acid = (acid_finding(experiment, table, weighed.acid),)
        elif full.is_open and usual.series is None and not full.gas_is_hidden:
            # The textbook calculation states none either: what it does say of the runs may stand.
            full = replace(full, is_withheld=False)
        is_explained = bool(acid) or gas_kept_is_unknown(experiment.reaction)
        left_out = say_left_out(experiment, table, handled, full.series)
        of_row = (
            *so_far(stage, check_results(usual, full, is_explained=is_explained)),
            *check_waiting(experiment, table, full),
        )
        if full.is_withheld:
            usual = reduce_usual(
                experiment,
                table,
                handled.usual_aside,
                seed=seed,
                draws=draws,
                withheld=full.no_series_because,
            )
        findings = most_severe_first((*acid, *handled.findings, *of_row, *left_out))
    return Outcome(
        experiment=experiment,
        table=table,
        usual=usual,
        full=full,
        findings=most_severe_first((*findings, *check_source(source))),
        source=source,
        version=VERSION,
        stage=stage,
        handover=handed.handover if handed else None,
        made_on=made_on,
    )


def _local_times(table: RunTable) -> RunTable:
    """Return the same readings with their times as the clocks of this place show them."""
    readings = tuple(
        reading if reading.taken is None else replace(reading, taken=reading.taken.astimezone())
        for reading in table.readings
    )
    return replace(table, readings=readings)


def must_stop(findings: Iterable[Finding]) -> bool:
    """Return whether a finding says that the answer cannot be trusted."""
    return any(finding.severity is Severity.STOP for finding in findings)


def _today() -> str:
    return dt.datetime.now(dt.UTC).astimezone().date().isoformat()
