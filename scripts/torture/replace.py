"""The store is moved, deleted, replaced or written over while devices record."""

from __future__ import annotations

import asyncio
import contextlib
import random
import shutil
from collections.abc import Callable, Sequence
from pathlib import Path

from scripts.torture.clock import Clock
from scripts.torture.device import PATIENCE
from scripts.torture.flip import LOG, STORE
from scripts.torture.kill import devices_of
from scripts.torture.ledger import Ledger, doubled, kept_in, now
from scripts.torture.server import Server, new_folder
from scripts.torture.table import Row

from tarebook.api.backup import backup
from tarebook.api.verify import verify
from tarebook.core.errors import TarebookError
from tarebook.records.events import Event

SAID = {"record-replaced", "record-damaged", "record-unreachable"}


def _moved(folder: Path) -> None:
    (folder / STORE).rename(folder / "moved.db")


def _moved_and_back(folder: Path) -> None:
    _moved(folder)
    (folder / "moved.db").rename(folder / STORE)


def _deleted(folder: Path) -> None:
    (folder / STORE).unlink()


def _replaced(folder: Path) -> None:
    shutil.copy(folder / "older.db", folder / "again.db")
    (folder / "again.db").replace(folder / STORE)


def _written_over(folder: Path) -> None:
    shutil.copyfile(folder / "older.db", folder / STORE)


def _log_deleted(folder: Path) -> None:
    (folder / LOG).unlink(missing_ok=True)


def _all_replaced(folder: Path) -> None:
    _replaced(folder)
    for beside in (LOG, f"{STORE}-shm"):
        (folder / beside).unlink(missing_ok=True)


DEEDS: tuple[tuple[str, Callable[[Path], None]], ...] = (
    ("moved", _moved),
    ("moved and put back", _moved_and_back),
    ("deleted", _deleted),
    ("replaced by an older copy", _replaced),
    ("written over with an older copy", _written_over),
    ("deleted, its log alone", _log_deleted),
    ("replaced by an older copy, its log deleted", _all_replaced),
)


def replace(place: Path, *, seed: int, times: int, clock: Clock) -> Row:
    """Do so many of the deeds, each in a folder of its own, and return what came of it."""
    chance = random.Random(seed)
    rows = [
        _one(place / f"{number}", DEEDS[number % len(DEEDS)][1], random.Random(chance.random()))
        for number in clock.turns(times)
    ]
    return Row(
        what=f"store {', '.join(what for what, _ in DEEDS)}",
        times=len(rows),
        asked=times,
        **{
            name: sum(getattr(row, name) for row in rows)
            for name in ("acknowledged", "lost", "doubled", "noticed", "no_effect", "errors")
        },
    )


def _one(place: Path, deed: Callable[[Path], None], chance: random.Random) -> Row:
    server, ledger = Server(folder=new_folder(place)), Ledger()
    server.start()
    done = asyncio.run(_record(server, ledger, deed, chance))
    kept = _kept(server.folder)
    gone = ledger.lost(kept)
    said = bool(ledger.reasons & SAID) or _is_missed(server.folder)
    # Sent after the deed and acknowledged is for the program to keep; what the deed took, to say.
    lost = ledger.lost(kept, done) if said else gone
    return Row(
        what="",
        times=1,
        acknowledged=len(ledger.acknowledged),
        lost=lost,
        doubled=doubled(kept),
        noticed=int(said),
        no_effect=int(not said and not gone),
        errors=ledger.errors + server.faults(),
    )


async def _record(
    server: Server, ledger: Ledger, deed: Callable[[Path], None], chance: random.Random
) -> float:
    """Record, copy, record more, do the deed, record on; return when it was done."""
    until = asyncio.Event()
    devices = devices_of(server, ledger, 4)
    tasks = [asyncio.create_task(one.record(until, random.Random(one.number))) for one in devices]
    await _come_to(ledger, 60)
    await asyncio.to_thread(backup, server.folder, server.folder / "older.db")
    await _come_to(ledger, len(ledger.acknowledged) + 60)
    await asyncio.sleep(chance.uniform(0, 0.3))
    deed(server.folder)
    done = now()
    await asyncio.sleep(chance.uniform(0.5, 1.5))
    until.set()
    await asyncio.gather(*tasks)
    server.stop()
    return done


async def _come_to(ledger: Ledger, count: int) -> None:
    async with asyncio.timeout(4 * PATIENCE):
        while len(ledger.acknowledged) < count:
            await asyncio.sleep(0.02)


def _kept(folder: Path) -> Sequence[Event]:
    """Return what is still in the folder: in the store's place, or where it was moved."""
    moved = folder / "moved.db"
    if moved.exists() and not (folder / STORE).exists():
        # Put back, as the program says; the log that lies beside its old name belongs to it.
        moved.rename(folder / STORE)
    with contextlib.suppress(TarebookError):
        return kept_in(folder)
    return ()


def _is_missed(folder: Path) -> bool:
    try:
        return not verify(folder).verdict.whole
    except TarebookError:
        return True
