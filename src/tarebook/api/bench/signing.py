"""Keys of devices: noted when a device first comes, and asked for with each of its events."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from tarebook.api.bench.workspace import Workspace
from tarebook.api.open_record import clock
from tarebook.core.errors import Fault, InputError
from tarebook.records.events import DEVICE_KEY, NO_GROUP, Event, event_of
from tarebook.records.signature import Signers, is_signed

MOST_KEYS: Final = 300
"""Of the devices of one group: a class that all joined one group has fewer."""

_SENT = ("id", "typed", "taken_at", "device", "signature")


def note_key(workspace: Workspace, group: str, given: object) -> Signers:
    """Record the key of a device, if the record does not hold it yet; return all that sign.

    Parameters
    ----------
    workspace : Workspace
    group : str
        That let the device in.
    given : object
        What the page sent: the key, signed with itself; None from a page that signs nothing.

    Raises
    ------
    InputError
        If it is no key of that device, or the group has too many.
    RecordError
        If the record cannot take it.
    """
    known = workspace.signers()
    if given is None:
        return known
    event = _key_event(group, given)
    if known.knows(group, event.device, event.signer):
        return known
    if known.n_keys(group) >= MOST_KEYS:
        found, allowed = "one more device", f"at most {MOST_KEYS} of a group"
        raise InputError([Fault(where="key", found=found, allowed=allowed)])
    if not is_signed(event):
        raise _does_not_fit()
    workspace.opened.log.append([event], now=clock())
    return workspace.signers()


def refuse_unsigned(known: Signers, event: Event) -> None:
    """Refuse an event without the signature of the device that it names, if that has a key.

    Raises
    ------
    InputError
    """
    if event.signer:
        if not known.knows(event.group, event.device, event.signer) or not is_signed(event):
            raise _does_not_fit()
    elif known.must_sign(event):
        allowed = f"the signature of {event.device}, which has a key"
        raise InputError([Fault(where="signature", found="nothing", allowed=allowed)])


def _key_event(group: str, given: object) -> Event:
    if not isinstance(given, Mapping) or set(given) != set(_SENT):
        allowed = ", ".join(_SENT)
        raise InputError([Fault(where="key", found="something else", allowed=allowed)])
    named: dict[str, Any] = {
        "id": given["id"],
        "kind": "reading",
        "group": NO_GROUP,
        "run": NO_GROUP,
        "column": DEVICE_KEY,
        "typed": given["typed"],
        "taken": given["taken_at"],
        "who": group,
        "device": given["device"],
        "signer": given["typed"],
        "signature": given["signature"],
        "number": "",
        "unit": "",
    }
    return event_of(named)


def _does_not_fit() -> InputError:
    found, allowed = "one that does not fit", "that of the device, by its key"
    do = "Load the page again; if it stays, type the reading again."
    return InputError([Fault(where="signature", found=found, allowed=allowed, do=do)])
