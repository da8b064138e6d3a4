"""Take what a bench page sends: each event recorded, refused with a reason, or left for later."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from tarebook.api.bench.group_record import characters_of
from tarebook.api.bench.signing import note_key, refuse_unsigned
from tarebook.api.bench.steps import instrument_name
from tarebook.api.bench.views import n_of_page, runs_view
from tarebook.api.bench.workspace import Workspace
from tarebook.api.open_record import clock
from tarebook.api.record import record
from tarebook.core.errors import Fault, InputError
from tarebook.records.events import DEFINITION, DEVICE_KEY, Event, Kind, event_of
from tarebook.records.readings import QUANTITY_OF_COLUMN, parts_of
from tarebook.records.sheet import LEAST, MOST, NOTE
from tarebook.report.languages.writing import Writing, in_files
from tarebook.report.payload import Json

MOST_EVENTS = 60
"""Events of one delivery, well under its 64 kB: others wait behind it."""

MOST_OF_GROUP = 20_000
"""Events of one group: a series of 100 runs with every reading taken twenty times has fewer."""

MOST_RUNS = 100
"""Runs of one group. No row is planned with more than 60, and the sums for all groups take turns:
those of 100 runs take some ten seconds, those of 500 would keep a class waiting for minutes."""

MOST_CHARACTERS = 3_000_000
"""Characters of one group: 20,000 readings with names and instruments have half as many. All of
them stand in one answer, and the server must bear some of those at once."""

MOST_OF_NOTES = 500_000
"""Characters of one group's notes, so that they take no room from readings: a thick book."""

_NAMES = {"quantity": "column", "taken_at": "taken"}
"""How the bench page calls what the record calls otherwise."""

_SENT = (
    "id", "kind", "run", "quantity", "repeat", "typed", "taken_at", "who", "device", "instrument",
    "supersedes", "reason", "signer", "signature",
)  # fmt: skip


def record_events(
    workspace: Workspace,
    group: str,
    given: object,
    *,
    key: object = None,
    look: object = None,
    has_time: Callable[[], bool] = lambda: True,
    how: Writing | None = None,
    now: dt.datetime | None = None,
) -> Json:
    """Record a delivery of a bench page.

    Parameters
    ----------
    workspace : Workspace
    group : str
    given : object
        What the page sent: a list of objects, each an event.
    key : object
        What the page sent of the device's key; None from a page that signs nothing.
    look : object
        What the page sent of the runs that were not `looked` at when it last heard of them; None if
        there are none.
    has_time : callable
        Says whether there is time to look at what the readings mean; else they are only taken.
    how : Writing, optional
        How the device is spoken to; as in files if not given.
    now : datetime, optional

    Returns
    -------
    dict
        ``acknowledged``: ids of what is on the disk now. ``refused``: what is not and will not be,
        each with the reason. ``runs``: the runs it is about, as they now stand, and if there is
        time to look at them those asked for; ``more``: whether there are others for which one
        answer has no room.

    Raises
    ------
    InputError
        If it is no list of events at all, or too long a one, or `look` is no list of runs; nothing
        was recorded.
    RecordError
        If the record cannot take it now; nothing was recorded.
    """
    objects, asked = _objects(given), _asked(look)
    known_keys = note_key(workspace, group, key)
    refused: list[Json] = []
    events: list[Event] = []
    # As far as it is known here: what another program recorded meanwhile, the record knows.
    known_so_far = workspace.last_of_group(group)
    there = known_so_far.known.by_id
    n_characters, n_of_notes = known_so_far.n_characters, known_so_far.n_of_notes
    acknowledged: list[str] = []
    runs = dict.fromkeys(known_so_far.runs)
    room = MOST_OF_GROUP - len(known_so_far.received)
    most_runs = max(MOST_RUNS, len(workspace.opened.planned))
    for one in objects:
        try:
            event = _event(workspace, group, one)
            if event.id not in there:
                refuse_unsigned(known_keys, event)
        except InputError as error:
            refused.append(_refused(one.get("id"), error.faults))
            continue
        known = there.get(event.id)
        if known is not None:
            # The instrument may have another name since the definition was corrected.
            if _said(known.event) == _said(event):
                acknowledged.append(event.id)
            else:
                refused.append(_refused(event.id, [_taken(event.id)]))
        elif event.run not in runs and len(runs) >= most_runs:
            found, allowed = f"run {event.run[:40]!r}", f"at most {most_runs} runs"
            refused.append(_refused(event.id, [Fault(where="run", found=found, allowed=allowed)]))
        elif len(events) >= room:
            found, allowed = "one more event", f"at most {MOST_OF_GROUP} of a group"
            refused.append(_refused(event.id, [Fault(where=group, found=found, allowed=allowed)]))
        elif (full := _full(event, n_characters, n_of_notes)) is not None:
            refused.append(_refused(event.id, [full]))
        else:
            runs[event.run] = None
            n_characters += characters_of(event)
            n_of_notes += len(event.typed) if event.column == NOTE else 0
            events.append(event)
    delivered = record(workspace.opened, events, now=now or clock())
    acknowledged += dict.fromkeys(one.event.id for one in delivered.received)
    refused += [_refused(id_, [_taken(id_)]) for id_ in delivered.refused]
    about = dict.fromkeys(
        [one.event.run for one in delivered.received]
        + [there[id_].event.run for id_ in acknowledged if id_ in there]
    )
    record_now, looks = workspace.just_recorded(group), has_time()
    if looks:
        about |= dict.fromkeys(run for run in asked if run in runs)
        workspace.beliefs.look_at(workspace.experiment, record_now.looked_at, group)
    shown = tuple(about)[: n_of_page(record_now, tuple(about))]
    return {
        "acknowledged": acknowledged,
        "refused": refused,
        "runs": runs_view(workspace, group, record_now, shown, how or in_files(), looks=looks),
        "more": len(shown) < len(about),
        "head": record_now.head,
    }


def _objects(given: object) -> Sequence[Mapping[str, Any]]:
    allowed = f"a list of at most {MOST_EVENTS} objects"
    if not isinstance(given, list) or not all(isinstance(one, dict) for one in given):
        raise InputError([Fault(where="events", found="something else", allowed=allowed)])
    if len(given) > MOST_EVENTS:
        do = "Send the first of them, and the rest when they are acknowledged."
        found = f"{len(given)} events"
        raise InputError([Fault(where="events", found=found, allowed=allowed, do=do)])
    return given


def _asked(look: object) -> Sequence[str]:
    given = [] if look is None else look
    if not isinstance(given, list) or not all(isinstance(run, str) for run in given):
        allowed = "a list of runs"
        raise InputError([Fault(where="look", found="something else", allowed=allowed)])
    return given[:MOST_RUNS]


def _event(workspace: Workspace, group: str, given: Mapping[str, Any]) -> Event:
    """Return the event that a bench page means, with what only the server knows."""
    unknown = [key for key in given if key not in _SENT]
    if unknown:
        found, allowed = repr(str(unknown[0])[:40]), ", ".join(_SENT)
        raise InputError([Fault(where="event", found=found, allowed=allowed)])
    # A page writes null for what does not apply.
    named = {_NAMES.get(key, key): value for key, value in given.items() if value is not None}
    named["group"] = group
    for name in ("run", "typed", "who", "device", "reason", "instrument"):
        if isinstance(named.get(name), str):
            named[name] = named[name].strip()
    if not named.get("instrument") and named.get("kind") != Kind.WITHDRAWAL:
        column = named.get("column")
        if column in (DEFINITION, DEVICE_KEY):
            found, allowed = repr(column), "what is read at a cup"
            raise InputError([Fault(where="quantity", found=found, allowed=allowed)])
        if isinstance(column, str) and column in QUANTITY_OF_COLUMN:
            quantity = QUANTITY_OF_COLUMN[column]
            named["instrument"] = instrument_name(workspace.experiment, quantity)
    event = event_of(named)
    _refuse_no_reading(event)
    return event


def _refuse_no_reading(event: Event) -> None:
    """Refuse a number that no sheet could hold, so that every record can be exported."""
    if event.quantity is None or not event.number:
        return
    numbers = [abs(float(part)) for part in parts_of(event.number)]
    if not all(number == 0 or LEAST <= number <= MOST for number in numbers):
        allowed = f"0, or {LEAST:g} to {MOST:,.0f} {event.unit}"
        do = "Nothing at a bench shows that: look at the digits again."
        raise InputError([Fault(where="typed", found=event.typed[:40], allowed=allowed, do=do)])


def _full(event: Event, n_characters: int, n_of_notes: int) -> Fault | None:
    """Return what is too much if an event were added to so many characters of its group."""
    if event.column == NOTE and n_of_notes + len(event.typed) > MOST_OF_NOTES:
        return Fault(
            where="note",
            found=f"{n_of_notes + len(event.typed):,} characters of notes of the group",
            allowed=f"at most {MOST_OF_NOTES:,}",
            do="Readings are taken all the same. Keep the note elsewhere.",
        )
    if n_characters + characters_of(event) > MOST_CHARACTERS:
        return Fault(
            where="group",
            found=f"{n_characters + characters_of(event):,} characters",
            allowed=f"at most {MOST_CHARACTERS:,}",
            do="Write it down on paper and tell the instructor: go on as another group.",
        )
    return None


def _said(event: Event) -> tuple[object, ...]:
    """Return what a device says with an event, without what the server adds."""
    return (
        event.kind, event.run, event.column, event.repeat, event.typed, event.taken,
        event.supersedes, event.reason, event.who, event.device,
    )  # fmt: skip


def _taken(id_: str) -> Fault:
    return Fault(
        where="id",
        found=f"{id_}, which stands for another reading",
        allowed="an id of its own",
        do="Record it again: the device then makes a new id.",
    )


def _refused(id_: object, faults: Sequence[Fault]) -> Json:
    # JSON can name half a character, which no answer can hold; no id of ours has one.
    shown = id_[:60].encode("utf-8", "replace").decode() if isinstance(id_, str) else None
    return {
        "id": shown or None,
        "message": " ".join(
            f"{fault.where}: found {fault.found}; allowed: {fault.allowed}." for fault in faults
        ),
        "do": " ".join(dict.fromkeys(fault.do for fault in faults if fault.do)),
    }
