"""A sheet that somebody sends through the page, checked before anything of it is recorded."""

from __future__ import annotations

from tarebook.api.bench.workspace import Workspace
from tarebook.api.incoming import Changes, changes
from tarebook.api.open_record import clock, new_id
from tarebook.core.errors import Fault, InputError
from tarebook.records.sheet import parse_sheet

DEVICE = "sheet"


def take_sheet(workspace: Workspace, group: str, data: bytes, name: str) -> Changes:
    """Record what stands in a sheet and not yet in the record of a group.

    Parameters
    ----------
    workspace : Workspace
    group : str
    data : bytes
        The file as it was sent.
    name : str
        As the sender calls it; for messages alone.

    Raises
    ------
    InputError
        With every fault of the sheet; nothing was recorded.
    RecordError
        If the record cannot take it; nothing was recorded.
    """
    shown = "".join(c for c in name[:60] if c.isprintable()) or "the sheet"
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        fault = Fault(
            where=shown,
            found="a text that is not UTF-8, or no text at all",
            allowed="a sheet as CSV in UTF-8",
            do="Save it again as CSV UTF-8.",
        )
        raise InputError([fault]) from None
    if "\0" in text:
        raise InputError([Fault(where=shown, found="no text", allowed="a sheet as CSV in UTF-8")])
    table = parse_sheet(text, shown)
    now = clock()
    found = changes(
        table,
        workspace.of_group(group).folded,
        group=group,
        who="",
        device=DEVICE,
        reason="a sheet that was brought in says so",
        now=now,
        new_id=new_id,
    )
    workspace.opened.log.append(found.events, now=now)
    return found
