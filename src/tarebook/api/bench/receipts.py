"""Receipts: with every answer a device is told where the record ends, signed by this app.

It shows them again when it next sends or asks. So a record that shrank, or was replaced while
nobody looked, is found by whoever recorded in it. Only what this app signed counts: no device can
make one up, and a receipt of another app says nothing here.
"""

from __future__ import annotations

import hashlib
import hmac
import logging
from dataclasses import dataclass
from typing import Final

from tarebook.api.anchors import keep_head
from tarebook.api.bench.workspace import Workspace
from tarebook.api.missed import holds
from tarebook.records.anchor import Occasion
from tarebook.records.chain import Head
from tarebook.records.errors import RecordReplacedError
from tarebook.records.log import EventLog
from tarebook.records.store import SqlLog

MOST_SHOWN: Final = 5
"""Receipts of one request that are looked at: of so many experiments a device keeps the last."""

LOG = logging.getLogger("tarebook.bench")


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """Where a record ended when a device was answered.

    Attributes
    ----------
    experiment : str
        Its key.
    n_missed : int
        How often something was known to be missing then: what is said is no news again.
    head : Head
    """

    experiment: str
    n_missed: int
    head: Head


def signed(receipt: Receipt, key: str) -> str:
    """Return a receipt as a device keeps it.

    Parameters
    ----------
    receipt : Receipt
    key : str
        With which sessions are signed.
    """
    head = receipt.head
    said = f"{receipt.experiment}:{receipt.n_missed}:{head.count}:{head.hash}"
    return f"{said}:{_signature(said, key)}"


def receipt_of(text: str, key: str) -> Receipt | None:
    """Return a receipt that was signed here; None of anything else.

    Examples
    --------
    >>> text = signed(Receipt(experiment="a", n_missed=0, head=Head(count=7, hash="b")), "secret")
    >>> receipt_of(text, "secret").head.count
    7
    >>> receipt_of(text.replace("7", "8", 1), "secret") is None
    True
    """
    said, _, signature = text.rpartition(":")
    if not hmac.compare_digest(_signature(said, key).encode(), signature.encode()):
        return None
    experiment, n_missed, count, last = said.split(":")
    head = Head(count=int(count), hash=last)
    return Receipt(experiment=experiment, n_missed=int(n_missed), head=head)


def _signature(said: str, key: str) -> str:
    of_receipts = hashlib.sha256(b"receipt" + key.encode()).digest()
    return hmac.new(of_receipts, said.encode(), "sha256").hexdigest()


def new_receipt(workspace: Workspace) -> str:
    """Return what a device is to keep of the record as it is known to be on the disk.

    Empty where nothing is recorded yet.
    """
    log = workspace.opened.log
    head = log.known_head() if isinstance(log, SqlLog) else log.head()
    if head.count == 0:
        return ""
    receipt = Receipt(experiment=log.experiment, n_missed=workspace.n_missed, head=head)
    return signed(receipt, workspace.access.signing_key)


def refuse_if_lost(workspace: Workspace, shown: str) -> None:
    """Refuse to go on if a device shows a receipt of what is not in the record.

    Until the app is started again: then it is known, `verify` and every page say so, and receipts
    from before are no reason to refuse a second time.

    Parameters
    ----------
    workspace : Workspace
    shown : str
        Receipts with commas between them.

    Raises
    ------
    RecordError
        If one of them was signed here, and the record does not hold what it says.
    """
    log = workspace.opened.log
    for text in shown.split(",", MOST_SHOWN)[:MOST_SHOWN]:
        receipt = receipt_of(text.strip(), workspace.access.signing_key)
        if receipt is None or receipt.n_missed < workspace.n_missed:
            continue
        if receipt.experiment != log.experiment:
            lost = "the devices recorded in another one"
        elif not (_remembers(log, receipt.head) or holds(log, receipt.head)):
            lost = f"a device was told of its event {receipt.head.count}, which is not there"
        else:
            continue
        _stop(workspace, receipt, lost)


def _remembers(log: EventLog, head: Head) -> bool:
    # Whether memory still is what is on the disk is looked at with each delivery.
    return isinstance(log, SqlLog) and log.remembers(head)


def _stop(workspace: Workspace, receipt: Receipt, lost: str) -> None:
    """Keep what a device knew, say it on all pages and in the log, and refuse all that follows."""
    log, head = workspace.opened.log, receipt.head
    n_lost = head.count - log.head().count
    keep_head(workspace.folder, receipt.experiment, head, Occasion.DEVICE)
    if receipt.experiment == log.experiment and n_lost > 0:
        workspace.n_lost = max(workspace.n_lost, n_lost)
    else:
        workspace.is_other = True
    if isinstance(log, SqlLog):
        log.refuse_from_now_on(lost)
        error = RecordReplacedError(log.name, lost)
        LOG.error("%s", error)
        raise error
