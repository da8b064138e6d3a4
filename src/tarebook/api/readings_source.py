"""Whose readings count in a folder, and what its sheet holds beside them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tarebook.api.folder import READINGS, read_text
from tarebook.api.open_record import OpenRecord
from tarebook.core.errors import Fault, InputError
from tarebook.records.chain import Head, set_back
from tarebook.records.definition import taken_by
from tarebook.records.events import digest_of
from tarebook.records.fold import Folded
from tarebook.records.readings import RunTable
from tarebook.records.sheet import parse_sheet
from tarebook.records.source import ReadingsSource, Unrecorded, unrecorded


def recorded_readings(opened: OpenRecord, group: str) -> tuple[RunTable, ReadingsSource] | None:
    """Return what a group recorded; None where nobody recorded anything.

    Parameters
    ----------
    opened : OpenRecord
    group : str
        Needed only where several groups recorded.

    Raises
    ------
    InputError
        With the groups to choose from.
    """
    groups = {name: one for name, one in opened.groups().items() if one.table.readings}
    if not groups:
        return None
    if not group and len(groups) == 1:
        (group,) = groups
    if group not in groups:
        names = ", ".join(sorted(groups))
        found = repr(group) if group else "no group named"
        fault = Fault(where="--group", found=found, allowed=names, do="Name one: --group NAME.")
        raise InputError([fault])
    # A sheet is one group's: where several recorded it is nobody's in particular.
    beside = beside_record(opened.folder, groups[group]) if len(groups) == 1 else ()
    source = source_in_record(opened, group, opened.log.head())
    return groups[group].table, replace(source, unrecorded=beside)


def source_in_record(opened: OpenRecord, group: str, head: Head | None) -> ReadingsSource:
    """Return what results of a group rest on.

    Parameters
    ----------
    opened : OpenRecord
    group : str
    head : Head or None
        Up to where its readings are used; None where it has none.
    """
    events = opened.log.events()
    return ReadingsSource(
        head=head,
        experiment=opened.log.experiment,
        group=group,
        taken_by=taken_by(events, group),
        definition_now=digest_of(opened.definition),
        set_back=set_back([one.received for one in events]),
    )


def beside_record(folder: Path, folded: Folded) -> tuple[Unrecorded, ...]:
    """Return what the sheet of a folder holds that was never recorded.

    Parameters
    ----------
    folder : Path
    folded : Folded
        The record of the group whose sheet it is.
    """
    if not (folder / READINGS).exists():
        return ()
    try:
        return unrecorded(parse_sheet(read_text(folder, READINGS), READINGS), folded)
    except InputError as error:
        # It is not used; that it cannot be read is said, and keeps nobody from the record.
        return tuple(
            Unrecorded(run="", column="", place=one.where, found=one.found, counts="")
            for one in error.faults
        )
