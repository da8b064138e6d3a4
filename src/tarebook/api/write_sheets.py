"""Prepare a lesson: write everything that is printed before it into the folder `out`."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tarebook.api.definition import read_definition
from tarebook.api.folder import OUT, remove_all, write_all
from tarebook.core import defaults
from tarebook.core.errors import AskedFor, Fault, InputError, TarebookError
from tarebook.core.phrase import Phrase, Value
from tarebook.findings.finding import Finding, Severity, most_severe_first
from tarebook.planning.contents import content_range
from tarebook.planning.feasible import beyond
from tarebook.planning.plan import judged
from tarebook.planning.prepare.bench_plan import BenchPlan
from tarebook.planning.prepare.gas import GasDanger
from tarebook.planning.prepare.whole import Prepared
from tarebook.planning.prepare.whole import prepare as work_out
from tarebook.planning.rules_gas import gas_findings
from tarebook.report.languages.known import LANGUAGES
from tarebook.report.languages.writing import writing
from tarebook.report.printing import Paper
from tarebook.report.sheets.bench import bench_sheets
from tarebook.report.sheets.codes import check_address
from tarebook.report.sheets.handout import handout
from tarebook.report.sheets.hazard_page import hazard_page
from tarebook.report.sheets.key import key
from tarebook.report.sheets.labels import labels
from tarebook.report.sheets.prep_room import prep_room
from tarebook.report.sheets.setting import Setting
from tarebook.series.experiment import Experiment

FILES: dict[str, tuple[Callable[[Setting], bytes], str]] = {
    "prep-room.pdf": (prep_room, "supplies, the stock and its check, time, waste, trays"),
    "hazards.pdf": (hazard_page, "hazards, the gas against the room, first aid"),
    "bench-sheets.pdf": (bench_sheets, "one page for each run of each group"),
    "labels.pdf": (labels, "for vessels, bottles and jars"),
    "handout.pdf": (handout, "for students before the lesson"),
    "key.pdf": (key, "the answers and what each run will give: not for students"),
}
"""What is written, by name."""

FOR_STUDENTS = ("bench-sheets.pdf", "labels.pdf", "handout.pdf")
"""Not made while the gas stops the row and nobody in charge has decided."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Preparations:
    """What has been written.

    Attributes
    ----------
    title : str
    files : tuple of (Path, str)
        Each file and what it is.
    findings : tuple of Finding
        What has to be said before anything else: of the gas, and of a row that the plan refuses.
    notes : tuple of Phrase
        What a person should know before printing.
    """

    title: str
    files: tuple[tuple[Path, str], ...]
    findings: tuple[Finding, ...]
    notes: tuple[Phrase, ...]


def prepare(
    folder: Path,
    *,
    groups: int,
    date: str = "",
    time: str = "",
    paper: Paper = "a4",
    language: str | None = None,
    balances: int = 1,
    address: str = "",
    seed: int = defaults.SEED,
    progress: Callable[[str], None] = lambda _: None,
) -> Preparations:
    """Write everything that is printed before a lesson into a folder's `out`.

    Only the definition is read; there need not be any readings.

    Parameters
    ----------
    folder : Path
    groups, balances : int
    date : str
        Of the lesson, such as ``"2027-03-02"``; empty leaves a line for it on the sheets.
    time : str
        When it starts, such as ``"14:00"``; empty if no time is to be printed.
    paper : {"a4", "letter"}
    language : str, optional
        Of the sheets, by its code; else that of the definition.
    address : str
        Of the recorder, for the codes on the sheets; see `tarebook.report.sheets.codes`.
    seed : int
        Of the simulated lessons.
    progress : callable of str
        Told the step that begins.

    Returns
    -------
    Preparations

    Raises
    ------
    InputError
        If the definition cannot be used or a wish cannot be met; nothing is written.
    CannotWriteError
        If a file cannot be written; what was there before is untouched.
    """
    faults: list[Fault] = []
    day = _day(date, faults)
    start = _time(time, faults)
    if address:
        try:
            check_address(address)
        except InputError as error:
            faults += error.faults
    if language is not None and language not in LANGUAGES:
        faults.append(
            Fault(where=AskedFor.LANGUAGE, found=repr(language), allowed=", ".join(LANGUAGES))
        )
    if seed < 0:
        do = "Any whole number will do; the same one gives the same lessons."
        faults.append(Fault(where=AskedFor.SEED, found=str(seed), allowed="0 or more", do=do))
    if faults:
        raise InputError(faults)
    progress("working out what is needed")
    experiment = read_definition(folder)
    course = experiment.preparation.course
    chosen = language or course.language
    locale = course.locale if chosen == course.language else ""
    rng = np.random.Generator(np.random.SFC64(seed))
    setting = Setting(
        writing=writing(chosen, paper, locale),
        prepared=work_out(experiment, groups, balances, rng),
        paper=paper,
        day=day,
        start=start,
        address=address,
    )
    gas = setting.prepared.gas
    withheld = FOR_STUDENTS if gas is not None and gas.decision is None else ()
    files = {}
    for name, (build, _) in FILES.items():
        if name not in withheld:
            progress(f"setting {name}")
            files[name] = build(setting)
    progress("writing")
    places = write_all(folder / OUT, files)
    # Those of an earlier preparation must not be handed out either.
    remove_all(folder / OUT, withheld)
    return Preparations(
        title=experiment.title,
        files=tuple((place, FILES[place.name][1]) for place in places),
        # Of one severity what is said of the gas comes first.
        findings=most_severe_first((*gas_findings(experiment, groups), *_against_row(experiment))),
        notes=_notes(setting.prepared),
    )


def _day(date: str, faults: list[Fault]) -> dt.date | None:
    if not date:
        return None
    try:
        return dt.date.fromisoformat(date)
    except ValueError:
        faults.append(
            Fault(
                where=AskedFor.DATE,
                found=repr(date),
                allowed="a day of the calendar as year-month-day",
                do="For example 2027-03-02.",
            )
        )
    return None


def _time(time: str, faults: list[Fault]) -> dt.time | None:
    if not time:
        return None
    try:
        return dt.time.fromisoformat(time).replace(second=0, microsecond=0, tzinfo=None)
    except ValueError:
        faults.append(
            Fault(
                where=AskedFor.TIME,
                found=repr(time),
                allowed="a time of day from 00:00 to 23:59",
                do="For example 14:00.",
            )
        )
    return None


def _notes(prepared: Prepared) -> tuple[Phrase, ...]:
    """Return what a person should know before printing."""
    notes = [*_about_withheld(prepared.gas), _about_time(prepared.bench)]
    unsure = [
        one.name or one.classification.key or one.classification.formula
        for one in prepared.hazards
        if not one.classification.verified
    ]
    if unsure:
        notes.append(Phrase.of("note-hazards-unverified", rows=tuple(dict.fromkeys(unsure))))
    if prepared.air.room_is_assumed:
        notes.append(Phrase("note-room-assumed"))
    return tuple(notes)


def _about_withheld(gas: GasDanger | None) -> Iterator[Phrase]:
    if gas is not None and gas.decision is None:
        yield Phrase.of("note-withheld", files=FOR_STUDENTS)


def _against_row(experiment: Experiment) -> tuple[Finding, ...]:
    """Return what the plan refuses the row for; nothing where it works."""
    try:
        found = judged(experiment, content_range(experiment)).findings
    except TarebookError as error:
        values = {"because": beyond(error)}
        return (Finding(code="row-beyond-model", severity=Severity.STOP, values=values),)
    return tuple(one for one in found if one.severity is Severity.STOP)


def _about_time(bench: BenchPlan) -> Phrase:
    """Return how long the lesson takes, and what would help if that is too long."""
    wished, more = bench.as_wished, bench.more_balances
    values: dict[str, Value] = {"end_min": wished.end, "lesson_min": bench.lesson}
    if bench.fits:
        return Phrase("note-time-fits", values)
    values["wait_min"] = wished.mean_wait
    if more is not None:
        values |= {"balances": more.balances, "end_then_min": more.end}
        return Phrase("note-time-balances", values)
    if bench.least_end > bench.lesson:
        return Phrase("note-time-alone", values | {"least_min": bench.least_end})
    return Phrase("note-time-long", values)
