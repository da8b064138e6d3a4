"""Where the chain of a record stood at a moment, kept outside it.

A chain cannot show by itself that its end was cut off or that all of it was written anew; an anchor
can: the number and the hash of the event that was the last one then.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from tarebook.core.errors import Fault, InputError
from tarebook.records.chain import Head
from tarebook.records.events import time_of, time_text


class Occasion(StrEnum):
    """Why an anchor was kept."""

    CLOSED = "bench closed"
    REPORT = "report"
    BACKUP = "backup"
    ARCHIVE = "archive"
    MISSED = "missed at opening"
    DEVICE = "shown by a device"


FOUND_MISSING = (Occasion.MISSED, Occasion.DEVICE)
"""Occasions on which the record was not what it had been."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Anchor:
    """The end of a chain as it was.

    Attributes
    ----------
    experiment : str
        Key of the experiment.
    head : Head
    made : datetime
    occasion : Occasion
    """

    experiment: str
    head: Head
    made: dt.datetime
    occasion: Occasion


def anchor_line(anchor: Anchor) -> str:
    """Return an anchor as one line of JSON, without line feed."""
    values = {
        "experiment": anchor.experiment,
        "count": anchor.head.count,
        "last": anchor.head.hash,
        "made": time_text(anchor.made),
        "occasion": anchor.occasion.value,
    }
    return json.dumps(values)


def anchors_of(text: str, name: str) -> tuple[Anchor, ...]:
    """Return the anchors of a file; what was cut off while it was written is no anchor.

    Raises
    ------
    InputError
        With every line that is none.
    """
    whole, _, _ = text.rpartition("\n")
    anchors, faults = [], []
    for number, line in enumerate(whole.split("\n") if whole else [], start=1):
        if not line.endswith("}"):
            # Cut off while it was written; the next line began anew.
            continue
        try:
            anchors.append(_anchor(json.loads(line)))
        except (ValueError, KeyError, TypeError, RecursionError):
            allowed = "a line as the program wrote it"
            do = "Restore it from a backup, or move the file away."
            where = f"{name}, line {number}"
            faults.append(Fault(where=where, found=repr(line[:60]), allowed=allowed, do=do))
    if faults:
        raise InputError(faults)
    return tuple(anchors)


def _anchor(values: Any) -> Anchor:
    count, last = values["count"], values["last"]
    if type(count) is not int or not isinstance(last, str):
        raise ValueError(count)
    return Anchor(
        experiment=str(values["experiment"]),
        head=Head(count=count, hash=last),
        made=time_of(values["made"]),
        occasion=Occasion(values["occasion"]),
    )


def times_missed(anchors: Iterable[Anchor]) -> int:
    """Return how often something was found to be missing, in this record or one before it."""
    return sum(anchor.occasion in FOUND_MISSING for anchor in anchors)


def of_other_records(anchors: Iterable[Anchor], experiment: str) -> tuple[Anchor, ...]:
    """Return where the records of other experiments ended that were once in the same place."""
    return tuple(anchor for anchor in anchors if anchor.experiment != experiment)


def heads_of(anchors: Iterable[Anchor], experiment: str) -> tuple[Head, ...]:
    """Return where the chain of an experiment stood, the longest last."""
    heads = {anchor.head for anchor in anchors if anchor.experiment == experiment}
    return tuple(sorted(heads, key=lambda head: head.count))
