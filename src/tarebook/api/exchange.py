"""Bring sheets and archives into a record, and out of it."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from pathlib import Path

from tarebook.api.anchors import keep_head
from tarebook.api.bring_archive import BroughtIn, import_archive
from tarebook.api.folder import (
    DEFINITION,
    OUT,
    READINGS,
    cannot_write,
    has_record,
    read_text,
    set_aside,
    write_all,
)
from tarebook.api.incoming import Changes, changes
from tarebook.api.open_archive import is_there, no_such
from tarebook.api.open_record import clock, new_id, open_log, open_record
from tarebook.api.record import note_definition
from tarebook.api.sheet_way import way_in_folder
from tarebook.core.errors import AskedFor, CannotWriteError, Fault, InputError
from tarebook.core.version import VERSION
from tarebook.records import archive as archives
from tarebook.records.anchor import Occasion
from tarebook.records.complete import columns_of
from tarebook.records.definition import last_definition
from tarebook.records.events import LONE_GROUP, Kind, Received
from tarebook.records.fold import Folded, fold
from tarebook.records.sheet import parse_sheet, write_sheet
from tarebook.records.source import IMPORT, left_out, unrecorded
from tarebook.report.languages.writing import csv_way
from tarebook.series.faults import shown

__all__ = [
    "LONE_GROUP",
    "BroughtIn",
    "Changes",
    "Kind",
    "export_archive",
    "export_definition",
    "export_readings",
    "import_archive",
    "import_readings",
    "refuse_to_replace",
]


def import_readings(
    folder: Path,
    file: Path,
    *,
    group: str = LONE_GROUP,
    who: str = "",
    take_back: bool = False,
    now: dt.datetime | None = None,
) -> Changes:
    """Record what stands in a sheet and not yet in the record.

    A number that is new becomes a reading; one that differs from what counts becomes a correction;
    a blank cell takes nothing back. Bringing the same sheet in again records nothing.

    Parameters
    ----------
    folder : Path
    file : Path
        A sheet as `readings.csv`.
    group : str
        Whose readings they are.
    who : str
        Who says so.
    take_back : bool
        Whether what was once in the sheet, and is left out of it now, is withdrawn.
    now : datetime, optional

    Raises
    ------
    InputError
        With every fault of the sheet; nothing was recorded.
    RecordError
        If the record cannot take it; nothing was recorded.
    """
    if not is_there(file):
        raise no_such(file, "a sheet like readings.csv, or an archive")
    table = parse_sheet(read_text(file.parent, file.name), file.name)
    now = now or clock()

    def found(folded: Folded, received: Sequence[Received] = ()) -> Changes:
        gone = left_out(table, folded, received) if take_back else ()
        return changes(
            table,
            folded,
            gone=tuple(one.event for one in gone),
            group=group,
            who=who,
            device=IMPORT,
            reason="a sheet that was brought in says so",
            now=now,
            new_id=new_id,
        )

    if not has_record(folder):
        # A sheet that cannot be recorded begins no record.
        found(fold(()))
    with open_record(folder) as opened:
        made = found(opened.of_group(group), opened.log.events(group=group))
        if made.events:
            note_definition(opened, now=now)
        opened.log.append(made.events, now=now)
    return made


def export_readings(folder: Path, *, group: str = "", aside: bool = False) -> tuple[Path, ...]:
    """Write what counts as sheets: `readings.csv`, or one for each group into `out`.

    `readings.csv` stays with commas or semicolons as it was; those in `out` are written as in the
    place of the course.

    Parameters
    ----------
    folder : Path
    group : str
        Only this one, into `readings.csv`.
    aside : bool
        Whether a `readings.csv` with numbers that were never recorded is kept under another name.

    Returns
    -------
    tuple of Path

    Raises
    ------
    InputError
        If `readings.csv` holds numbers that the record does not know, which would be lost.
    RecordError
        If there is no record or it cannot be read.
    """
    with open_record(folder, mode="read") as opened:
        groups = opened.groups()
        planned = opened.of_group(group or LONE_GROUP)
        columns = columns_of(opened.experiment)
        for_people = csv_way(opened.experiment.preparation.course)
    if group and group not in groups:
        allowed = ", ".join(groups) or "none yet: nothing has been recorded"
        raise InputError([Fault(where=AskedFor.GROUP, found=repr(group), allowed=allowed)])
    if group or len(groups) <= 1:
        folded = groups[group] if group else next(iter(groups.values()), planned)
        way = way_in_folder(folder)
        if aside and (folder / READINGS).exists():
            set_aside(folder, READINGS)
        _refuse_to_lose(folder, folded)
        sheet = write_sheet(folded.table, columns, way)
        return write_all(folder, {READINGS: sheet.encode()})
    names = _sheet_names(tuple(groups))
    sheets = {
        names[name]: write_sheet(folded.table, columns, for_people).encode()
        for name, folded in groups.items()
    }
    return write_all(folder / OUT, sheets)


def _sheet_names(groups: tuple[str, ...]) -> dict[str, str]:
    """Return a file name for each group that every system accepts, no two the same."""
    plain = [re.sub(r"[^A-Za-z0-9_-]+", "-", group).strip("-").lower() for group in groups]
    unique = len(set(plain)) == len(plain) and all(plain)
    return {
        group: f"readings-{word if unique else number}.csv"
        for number, (group, word) in enumerate(zip(groups, plain, strict=True), start=1)
    }


def _refuse_to_lose(folder: Path, folded: Folded) -> None:
    """Refuse to write over a sheet with numbers that were never recorded."""
    if not (folder / READINGS).exists():
        return
    table = parse_sheet(read_text(folder, READINGS), READINGS)
    lost = unrecorded(table, folded)
    if lost:
        do = (
            f"Bring it in: tarebook import {folder} {folder / READINGS} --who NAME; or put it "
            f"aside: tarebook export {folder} --set-aside."
        )
        allowed = "what is in the record, or no such file"
        raise InputError(
            Fault(where=f"{READINGS}, {one.place}", found=shown(one.found), allowed=allowed, do=do)
            for one in lost
        )


def export_archive(folder: Path, file: Path, *, now: dt.datetime | None = None) -> Path:
    """Write the whole experiment into one open file.

    Parameters
    ----------
    folder : Path
    file : Path
        A zip file that is not there yet.
    now : datetime, optional

    Raises
    ------
    InputError
        If the definition cannot be used, or the record is not whole.
    RecordError
        If there is no record or it cannot be read.
    CannotWriteError
        If the file is there already or cannot be written.
    """
    refuse_to_replace(file)
    with open_record(folder, mode="read") as opened:
        files = archives.files_of(
            archives.Archive(
                experiment=opened.log.experiment,
                title=opened.experiment.title,
                definition=(folder / DEFINITION).read_bytes(),
                planned=opened.planned,
                events=opened.log.events(),
                made=now or clock(),
                made_by=f"tarebook {VERSION}",
            )
        )
        head = opened.log.head()
        key = opened.log.experiment
    written = write_all(file.parent, {file.name: archives.pack(files)})[0]
    keep_head(folder, key, head, Occasion.ARCHIVE)
    return written


def export_definition(folder: Path, file: Path) -> Path:
    """Write the last definition that is in the record into a file that is not there yet.

    Raises
    ------
    InputError
        If there is none in the record.
    RecordError, CannotWriteError
    """
    refuse_to_replace(file)
    log = open_log(folder, mode="read")
    try:
        last = last_definition(log.events())
    finally:
        log.close()
    if last is None:
        found, allowed = "no definition", "one that was opened at the bench"
        raise InputError([Fault(where=f"the record of {folder}", found=found, allowed=allowed)])
    return write_all(file.parent, {file.name: last.event.typed.encode()})[0]


def refuse_to_replace(file: Path) -> None:
    """Refuse to write over a file.

    Raises
    ------
    CannotWriteError
        If it is there already, or nothing can be written there.
    """
    try:
        file.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return
    except OSError as error:
        raise cannot_write(file, error) from None
    raise CannotWriteError(str(file), "it is there already", "Choose another name.")
