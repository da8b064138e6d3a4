"""Files to take away: the report of a group, and what is printed before the lesson."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tarebook.api.bench.workspace import Workspace
from tarebook.api.folder import OUT
from tarebook.api.readings_source import source_in_record
from tarebook.records.chain import Head
from tarebook.records.readings import RunTable
from tarebook.records.source import ReadingsSource

MEDIA: Final[Mapping[str, str]] = {
    "pdf": "application/pdf",
    "html": "text/html; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "csv": "text/csv; charset=utf-8",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A file that was made before the lesson."""

    name: str
    made: dt.datetime


def table_of_group(workspace: Workspace, group: str) -> RunTable:
    """Return the readings of a group that count; none yet, where only the row is planned."""
    return workspace.of_group(group).table


def source_of_group(workspace: Workspace, group: str) -> ReadingsSource:
    """Return what a report of a group rests on: the record up to its last event."""
    received = workspace.of_group(group).received
    end = Head(count=received[-1].sequence, hash=received[-1].hash) if received else None
    return source_in_record(workspace.opened, group, end)


def sheets_made(folder: Path) -> tuple[Sheet, ...]:
    """Return the files of the last preparation that are there."""
    from tarebook.api.write_sheets import FILES

    made = []
    for name in FILES:
        place = folder / OUT / name
        if place.is_file():
            when = dt.datetime.fromtimestamp(place.stat().st_mtime, dt.UTC).astimezone()
            made.append(Sheet(name=name, made=when))
    return tuple(made)


def sheet_made(folder: Path, name: str) -> bytes | None:
    """Return a file of the last preparation; None if it is not one or is not there."""
    from tarebook.api.write_sheets import FILES

    place = folder / OUT / name
    return place.read_bytes() if name in FILES and place.is_file() else None
