"""What happened at the bench, as events that are never changed.

An event is a reading, a correction (a new reading that supersedes one, with a reason) or a
withdrawal (one reading does not count, with a reason). A device makes it, with an id of its own;
the record receives it, gives it a sequence number and the time, and never changes it again.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass, fields
from enum import StrEnum
from typing import Any

from tarebook.core.errors import Fault, InputError
from tarebook.records.readings import Quantity, number_value
from tarebook.records.sheet import HEADER, MOST_IN_CELL, NOTE, RUN
from tarebook.records.typed import is_number, read_number
from tarebook.series.faults import did_you_mean, shown
from tarebook.series.schema import CONTROL

DEFINITION = "definition"
"""Column of an event that holds the whole definition; no sheet has it."""

DEVICE_KEY = "key"
"""Column of an event that holds the public key with which a device signs; no sheet has it."""

NO_GROUP = "*"
"""Group and run of an event that is about all of them."""

MOST_IN_DEFINITION = 10_000_000

LONE_GROUP = "1"
"""The group of a bench where only one works."""

MOST_REPEAT = 99
MOST_IN_FIELD = 200
"""Characters of a name: group, run, instrument, person, device, reason, number as typed."""

_ID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")
_PLACE = re.compile(r"[1-9][0-9]{0,4}")
# Control characters and halves of characters; a note may have several lines.
_NOT_PRINTED = re.compile(rf"[{CONTROL}\t\n\r\ud800-\udfff]")
_NOT_IN_NOTES = re.compile(rf"[{CONTROL}\ud800-\udfff]")


_WITHOUT_UNIT = (RUN, NOTE, DEFINITION, DEVICE_KEY)
_KEY = re.compile(r"[0-9a-f]{64}")
_SIGNATURE = re.compile(r"[0-9a-f]{128}")


class Kind(StrEnum):
    """What an event does."""

    READING = "reading"
    CORRECTION = "correction"
    WITHDRAWAL = "withdrawal"


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One event as a device made it; no faulty one can be made.

    Every attribute is a text (empty where it does not apply), but for `repeat` and `taken`.

    Attributes
    ----------
    id : str
        UUID in small letters, made by the device.
    kind : Kind
    group : str
        Who works at it; a lone bench is one group too.
    run : str
    column : str
        Column of `readings.csv`: a quantity, ``"note"``, or ``"run"``, whose number is the place of
        the run in the sheet (made only when a sheet has another order than the plan), or
        ``"definition"``, whose number is the digest of the definition in `typed`, or ``"key"``,
        whose `typed` is the public key of the device and whose `who` is the group that let it in.
    repeat : int
        1 for the first reading of a quantity in a run, 2 for its repetition, and so on.
    typed : str
        As it was typed, read from a balance, or written: ``"12,50 g"``. Empty for a withdrawal.
    number : str
        The same with a decimal point in the unit of the column, every digit kept: ``"12.50"``; of a
        pour in several fillings each: ``"20 + 15"``.
        A text, so that no digit is lost. Empty for notes and withdrawals.
    unit : str
        Unit of `number`.
    instrument, who : str
        As far as they are known.
    device : str
        What sent it.
    taken : datetime
        When it was read, by the clock of the device; with a time zone, kept as UTC.
    supersedes : str
        Id of the event that no longer counts; empty for a reading. A correction may be of another
        run than what it supersedes: the reading belonged to another vessel.
    reason : str
        Why; empty for a reading.
    signer, signature : str
        Public key of the device and its signature, in hexadecimal; see
        `tarebook.records.signature`. Both empty for what no device signed.

    Raises
    ------
    InputError
        With every fault at once; each fault's place is the name of the attribute.
    """

    id: str
    kind: Kind
    group: str
    run: str
    column: str
    repeat: int
    typed: str
    number: str
    unit: str
    instrument: str
    who: str
    device: str
    taken: dt.datetime
    supersedes: str
    reason: str
    signer: str = ""
    signature: str = ""

    def __post_init__(self) -> None:
        faults = [*_faults_of_texts(self), *_faults_of_kind(self), *_faults_of_number(self)]
        faults += _faults_of_signature(self)
        if not 1 <= self.repeat <= MOST_REPEAT:
            allowed = f"a whole number from 1 to {MOST_REPEAT}"
            faults.append(Fault(where="repeat", found=shown(self.repeat), allowed=allowed))
        if self.taken.utcoffset() is None:
            found = f"{self.taken.isoformat()} without a time zone"
            faults.append(Fault(where="taken", found=found, allowed="a time with its zone"))
        elif not 1970 <= self.taken.year <= 9000:
            allowed = "a time after 1970"
            faults.append(Fault(where="taken", found=self.taken.isoformat(), allowed=allowed))
        if faults:
            raise InputError(faults)
        object.__setattr__(self, "taken", self.taken.astimezone(dt.UTC))

    def __hash__(self) -> int:
        # No two events of a record have the same id; all else would take long to go through.
        return hash(self.id)

    @property
    def quantity(self) -> Quantity | None:
        """The quantity that was read, or None for a note, the place of a run, a definition."""
        return None if self.column in _WITHOUT_UNIT else Quantity(self.column)

    @property
    def slot(self) -> tuple[str, str, int]:
        """Run, column and repeat: the cell of the sheet that the event is about."""
        return self.run, self.column, self.repeat


@dataclass(frozen=True, slots=True, kw_only=True)
class Received:
    """An event as it stands in the record.

    Attributes
    ----------
    event : Event
    sequence : int
        1 for the first event of the experiment, without gaps.
    received : datetime
        When the record took it, by the clock of the record, UTC.
    previous, hash : str
        Hash of the event before it and of itself; see `tarebook.records.chain`.
    """

    event: Event
    sequence: int
    received: dt.datetime
    previous: str
    hash: str


SIGNED_BY = ("signer", "signature")
"""The attributes that only a signed event has, in JSON too."""

FIELDS = tuple(field.name for field in fields(Event) if field.name not in SIGNED_BY)
"""The other attributes of an event, which are its keys in JSON and its columns in the store too."""

_MADE_HERE = ("number", "unit")
_OPTIONAL = (
    "instrument", "who", "supersedes", "reason", "repeat", "typed", *_MADE_HERE, *SIGNED_BY,
)  # fmt: skip


def event_of(given: Mapping[str, Any]) -> Event:
    """Return an event from its JSON object, as a device sends it and as an archive holds it.

    Parameters
    ----------
    given : mapping of str to str (`repeat`: int)
        Keys as the attributes of `Event`. `instrument`, `who`, `supersedes`, `reason`, `repeat` and
        `typed` may be left away where they are empty or 1; `number` and `unit` are then found from
        `typed` and `column`. `taken` is a time in ISO 8601 with its zone.

    Raises
    ------
    InputError
        With every fault at once.

    Examples
    --------
    >>> event = event_of({"id": "0b8f3c1e-6d0a-4a5e-9a51-2f6f0f3f7a10", "kind": "reading",
    ...                   "group": "3", "run": "1", "column": "tare_g", "typed": "12,31",
    ...                   "device": "phone", "taken": "2026-10-05T14:03:21.5+02:00"})
    >>> event.number, event.unit, time_text(event.taken)
    ('12.31', 'g', '2026-10-05T12:03:21.500000Z')
    """
    faults = [
        Fault(
            where=shown(key),
            found="an unknown key",
            allowed=", ".join((*FIELDS, *SIGNED_BY)),
            do=did_you_mean(str(key), FIELDS, "Remove it."),
        )
        for key in given
        if key not in (*FIELDS, *SIGNED_BY)
    ]
    values: dict[str, Any] = {}
    for name in (*FIELDS, *SIGNED_BY):
        kind: type = int if name == "repeat" else str
        if name not in given and name not in _OPTIONAL:
            faults.append(Fault(where=name, found="nothing", allowed="a text"))
        value = given.get(name, 1 if name == "repeat" else "")
        if not isinstance(value, kind) or isinstance(value, bool):
            allowed = "a whole number" if kind is int else "a text"
            faults.append(Fault(where=name, found=shown(value), allowed=allowed))
        values[name] = value
    if faults:
        raise InputError(faults)
    try:
        values["kind"] = Kind(values["kind"])
    except ValueError:
        allowed = ", ".join(Kind)
        faults.append(Fault(where="kind", found=shown(values["kind"]), allowed=allowed))
    try:
        values["taken"] = time_of(values["taken"])
    except ValueError:
        allowed = "a time in ISO 8601, as in 2026-10-05T14:03:21Z"
        faults.append(Fault(where="taken", found=shown(values["taken"]), allowed=allowed))
    has_value = values["kind"] != Kind.WITHDRAWAL and values["column"] in HEADER
    if "number" not in given and has_value:
        try:
            values["number"] = number_of(values["column"], values["typed"])
            values["unit"] = unit_of(values["column"])
        except InputError as error:
            faults += error.faults
    if faults:
        raise InputError(faults)
    return Event(**values)


def number_of(column: str, typed: str) -> str:
    """Return the number that was typed for a column, empty for a note.

    Raises
    ------
    InputError
        If a quantity was to be typed and it is no number.
    """
    if column in (NOTE, RUN):
        return typed if column == RUN else ""
    return read_number(Quantity(column), typed)


def unit_of(column: str) -> str:
    """Return the unit of a column, empty where it has none."""
    return "" if column in _WITHOUT_UNIT else Quantity(column).unit


def digest_of(definition: str) -> str:
    """Return the SHA-256 of a definition's text in UTF-8."""
    return hashlib.sha256(definition.encode()).hexdigest()


def object_of(event: Event) -> dict[str, str | int]:
    """Return the JSON object of an event; `event_of` reads it back unchanged.

    All keys are there, those of the signature only where there is one.
    """
    names = (*FIELDS, *SIGNED_BY) if event.signer else FIELDS
    values = {name: getattr(event, name) for name in names}
    return {**values, "kind": str(event.kind), "taken": time_text(event.taken)}


def time_text(time: dt.datetime) -> str:
    """Return a time as the record writes it: UTC, six decimals, a Z at the end."""
    in_utc = time if time.tzinfo is dt.UTC else time.astimezone(dt.UTC)
    return in_utc.replace(tzinfo=None).isoformat(timespec="microseconds") + "Z"


def time_of(text: str) -> dt.datetime:
    """Return a time from a text in ISO 8601.

    Raises
    ------
    ValueError
        If it is none, or lies outside the years 1 to 9999 in UTC.
    """
    time = dt.datetime.fromisoformat(text)
    try:
        # A time without a zone is refused where it is used, with words of its own.
        return time if time.utcoffset() is None else time.astimezone(dt.UTC)
    except OverflowError:
        raise ValueError(text) from None


def _faults_of_texts(event: Event) -> list[Fault]:
    faults = []
    for name in ("id", "supersedes"):
        text = getattr(event, name)
        if (name == "id" or text) and not _ID.fullmatch(text):
            faults.append(Fault(where=name, found=shown(text), allowed="a UUID in small letters"))
    most_typed = {NOTE: MOST_IN_CELL, DEFINITION: MOST_IN_DEFINITION}.get(event.column)
    for name in ("group", "run", "typed", "instrument", "who", "device", "reason"):
        text = getattr(event, name)
        most = most_typed if name == "typed" and most_typed else MOST_IN_FIELD
        if name in ("group", "run", "device") and not text:
            faults.append(Fault(where=name, found="nothing", allowed="its name"))
        elif len(text) > most:
            found = f"{len(text)} characters"
            faults.append(Fault(where=name, found=found, allowed=f"at most {most}"))
        elif name == "typed" and event.column == DEFINITION:
            # A file as it is.
            continue
        elif text != text.strip():
            allowed = "no spaces at either end"
            faults.append(Fault(where=name, found=shown(text), allowed=allowed))
        elif (_NOT_IN_NOTES if name == "typed" else _NOT_PRINTED).search(text):
            found = f"{shown(text)}, which holds a control character"
            faults.append(Fault(where=name, found=found, allowed="characters that can be printed"))
    return faults


def _faults_of_kind(event: Event) -> list[Fault]:
    faults = []
    if event.column not in (*HEADER, DEFINITION, DEVICE_KEY):
        do = did_you_mean(event.column, HEADER, "")
        allowed = ", ".join(HEADER)
        faults.append(Fault(where="column", found=shown(event.column), allowed=allowed, do=do))
    for name in ("supersedes", "reason"):
        text = getattr(event, name)
        if event.kind is Kind.READING and text:
            allowed = "nothing: a reading supersedes none"
            faults.append(Fault(where=name, found=shown(text), allowed=allowed))
        elif event.kind is not Kind.READING and not text:
            allowed = "the id of an event" if name == "supersedes" else "why, in a few words"
            faults.append(Fault(where=name, found="nothing", allowed=allowed))
    if event.supersedes == event.id:
        faults.append(Fault(where="supersedes", found="its own id", allowed="another event"))
    return faults


def _faults_of_number(event: Event) -> list[Fault]:
    if event.kind is Kind.WITHDRAWAL:
        return [
            Fault(where=name, found=shown(getattr(event, name)), allowed="nothing: it has no value")
            for name in ("typed", "number", "unit")
            if getattr(event, name)
        ]
    if event.column not in (*HEADER, DEFINITION, DEVICE_KEY):
        return []
    faults = []
    unit = unit_of(event.column)
    if not event.typed:
        faults.append(Fault(where="typed", found="nothing", allowed="what was read"))
    if event.unit != unit:
        allowed = repr(unit) if unit else "nothing"
        faults.append(Fault(where="unit", found=shown(event.unit), allowed=allowed))
    if event.column in (NOTE, DEVICE_KEY):
        if event.number:
            faults.append(Fault(where="number", found=shown(event.number), allowed="nothing"))
    elif event.column == DEFINITION:
        if event.number != digest_of(event.typed):
            allowed = "the SHA-256 of what was typed"
            faults.append(Fault(where="number", found=shown(event.number), allowed=allowed))
    elif not _is_number(event) or len(event.number) > MOST_IN_FIELD:
        allowed = "a number with a decimal point"
        faults.append(Fault(where="number", found=shown(event.number), allowed=allowed))
    elif abs(number_value(event.number)) == float("inf"):
        faults.append(Fault(where="number", found=shown(event.number), allowed="a finite number"))
    return faults


def _faults_of_signature(event: Event) -> list[Fault]:
    faults = []
    for name, form in (("signer", _KEY), ("signature", _SIGNATURE)):
        text = getattr(event, name)
        if (text or event.signer or event.signature) and not form.fullmatch(text):
            allowed = f"{64 if form is _KEY else 128} digits, hexadecimal, in small letters"
            faults.append(Fault(where=name, found=shown(text), allowed=allowed))
    if event.column == DEVICE_KEY and (event.typed != event.signer or event.kind != Kind.READING):
        allowed = "a reading of the key with which it is signed"
        faults.append(Fault(where="typed", found=shown(event.typed), allowed=allowed))
    return faults


def _is_number(event: Event) -> bool:
    if event.column == RUN:
        return _PLACE.fullmatch(event.number) is not None
    return is_number(Quantity(event.column), event.number)
