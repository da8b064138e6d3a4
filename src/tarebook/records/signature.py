"""Signatures of devices: each makes a key of its own when it joins, and signs what it records.

What is signed is what the device says of an event: all of it but the instrument, which the server
adds, and number and unit, which follow from what was typed. Whoever may write the store can chain
it anew; a signature he cannot make.

References
----------
.. [1] RFC 8032, Edwards-Curve Digital Signature Algorithm (EdDSA), 2017 (Ed25519).
"""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass, field

from tarebook.core.errors import InputError
from tarebook.records.events import (
    DEVICE_KEY,
    NO_GROUP,
    Event,
    Kind,
    Received,
    number_of,
    object_of,
    unit_of,
)

_SIGNED = (
    "id", "kind", "group", "run", "column", "repeat", "typed", "who", "device", "taken",
    "supersedes", "reason",
)  # fmt: skip
_FIRST_LINE = "tarebook event\n"


def message_of(event: Event) -> bytes:
    """Return the bytes that a device signs: a line of words, then JSON as RFC 8785 writes it."""
    said = {name: value for name, value in object_of(event).items() if name in _SIGNED}
    text = json.dumps(said, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return (_FIRST_LINE + text).encode()


def is_signed(event: Event) -> bool:
    """Return whether the signature of an event is that of its signer, and the number fits too."""
    # Only where something is signed: the library takes a moment to load.
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    try:
        key = Ed25519PublicKey.from_public_bytes(bytes.fromhex(event.signer))
        key.verify(bytes.fromhex(event.signature), message_of(event))
    except (InvalidSignature, ValueError):
        return False
    return _number_follows(event)


def _number_follows(event: Event) -> bool:
    if event.kind is Kind.WITHDRAWAL or event.column == DEVICE_KEY:
        return True
    try:
        number = number_of(event.column, event.typed)
    except InputError:
        return False
    return (event.number, event.unit) == (number, unit_of(event.column))


AT_THE_SAME_TIME = dt.timedelta(minutes=1)
"""What was under way without a signature when a device's key was noted is not held against it."""


@dataclass(slots=True)
class Signers:
    """The devices of a record that sign, as its events name them, and who signed what."""

    n_signed: int = 0
    unsigned: dict[str, int] = field(default_factory=dict)
    _keys: dict[tuple[str, str], set[str]] = field(default_factory=dict)
    _since: dict[tuple[str, str], dt.datetime] = field(default_factory=dict)

    def fault_of(self, received: Received, *, believed: bool = False) -> str:
        """Take the next event of a record; return what is wrong with its signature, or nothing.

        Parameters
        ----------
        received : Received
        believed : bool
            Whether its signature was looked at before.
        """
        event = received.event
        if event.column == DEVICE_KEY:
            if event.group != NO_GROUP:
                return "a key is of no group"
            whose = event.who, event.device
            self._keys.setdefault(whose, set()).add(event.signer)
            self._since.setdefault(whose, received.received)
        elif not event.signer:
            since = self._since.get((event.group, event.device))
            if since is not None and received.received > since + AT_THE_SAME_TIME:
                return f"it is not signed, and {event.device} signs what it records"
            self.unsigned[event.device] = self.unsigned.get(event.device, 0) + 1
            return ""
        elif not self.knows(event.group, event.device, event.signer):
            return f"it is signed with a key that {event.device} did not have"
        if not (believed or is_signed(event)):
            return "its signature does not fit"
        self.n_signed += 1
        return ""

    def knows(self, group: str, device: str, key: str) -> bool:
        """Return whether a key is one of a device of a group."""
        return key in self._keys.get((group, device), ())

    def must_sign(self, event: Event) -> bool:
        """Return whether the device that an event names has a key in its group."""
        return (event.group, event.device) in self._keys

    def n_keys(self, group: str) -> int:
        """Return how many keys the devices of a group have."""
        return sum(len(keys) for (of, _), keys in self._keys.items() if of == group)
