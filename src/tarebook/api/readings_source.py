"""Whose readings count in a folder, and what its sheet holds beside them."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from dataclasses import replace

from tarebook.api.folder import READINGS, read_text
from tarebook.api.missed import missed
from tarebook.api.open_record import OpenRecord
from tarebook.core.errors import AskedFor, Fault, InputError
from tarebook.records.chain import Head, set_back
from tarebook.records.definition import taken_by
from tarebook.records.events import digest_of
from tarebook.records.fold import Folded
from tarebook.records.readings import RunTable
from tarebook.records.sheet import parse_sheet
from tarebook.records.source import (
    Beside,
    ReadingsSource,
    Unrecorded,
    left_out,
    owner_of,
    unrecorded,
)


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
        fault = Fault(where=AskedFor.GROUP, found=found, allowed=names, do="Name one of them.")
        raise InputError([fault])
    source = source_in_record(opened, group, opened.log.head())
    beside = beside_record(opened, groups, group)
    # What was kept beside the record and cannot be read is said by `verify`.
    with contextlib.suppress(InputError):
        known = missed(opened.folder, opened.log)
        source = replace(source, n_lost=known.n_lost, is_other=known.is_other)
    return groups[group].table, replace(source, beside=beside)


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


def beside_record(opened: OpenRecord, groups: Mapping[str, Folded], group: str) -> Beside:
    """Return in what the sheet of a folder differs from what a group recorded.

    Parameters
    ----------
    opened : OpenRecord
    groups : mapping of name to Folded
        Those that recorded anything; a sheet is that of one of them.
    group : str
    """
    if not (opened.folder / READINGS).exists():
        return Beside()
    try:
        table = parse_sheet(read_text(opened.folder, READINGS), READINGS)
    except InputError as error:
        # It is not used; that it cannot be read is said, and keeps nobody from the record.
        return Beside(
            unrecorded=tuple(
                Unrecorded(run="", column="", place=one.where, found=one.found, counts="")
                for one in error.faults
            )
        )
    if owner_of(table, groups) != group:
        return Beside()
    received = opened.log.events(group=group)
    return Beside(
        unrecorded=unrecorded(table, groups[group]),
        left_out=left_out(table, groups[group], received),
    )
