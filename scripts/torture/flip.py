"""Single bits of a store are flipped, each in a copy: does the program say so?

Two stores take turns, each as the real server left it: one where the server was killed, half of
its readings in the file and half in the log beside it; one where it was closed, all in the file.
Some pages are made free, which the program itself never does.
"""

from __future__ import annotations

import asyncio
import random
import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from scripts.torture.clock import Clock
from scripts.torture.kill import devices_of
from scripts.torture.ledger import Ledger
from scripts.torture.server import Server, new_folder
from scripts.torture.table import Row

from tarebook.api.open_record import open_log
from tarebook.api.verify import verify
from tarebook.core.errors import TarebookError
from tarebook.records.events import Received

STORE, LOG = "tarebook.db", "tarebook.db-wal"
READINGS = 150
"""In the file, and as many in the log."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """All that anybody can read in a store, and what guards it."""

    experiment: str
    events: tuple[Received, ...]
    guards: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Store:
    """A folder with a store as a server left it, and what can be read in it."""

    folder: Path
    whole: Meaning

    def sizes(self) -> dict[str, int]:
        """Return the size of each file that the store consists of."""
        files = (self.folder / name for name in (STORE, LOG))
        return {file.name: file.stat().st_size for file in files if file.exists()}

    def spot(self, chance: random.Random) -> tuple[str, int]:
        """Return a file and a bit of it, each bit of the store as likely as any other."""
        sizes = self.sizes()
        at = chance.randrange(8 * sum(sizes.values()))
        in_log = at >= 8 * sizes[STORE]
        return (LOG, at - 8 * sizes[STORE]) if in_log else (STORE, at)


def flip(place: Path, *, seed: int, times: int, clock: Clock) -> Row:
    """Flip so many bits, one in a copy at a time, and return what came of it."""
    chance, ledger = random.Random(seed), Ledger()
    stores = asyncio.run(stored(place, ledger))
    counts = dict.fromkeys(("noticed", "unnoticed", "no_effect", "errors"), 0)
    for number in clock.turns(times):
        store = stores[number % len(stores)]
        counts[outcome(store, *store.spot(chance), place / "copy")] += 1
    return Row(
        what="a bit of the store flipped",
        times=sum(counts.values()),
        asked=times,
        acknowledged=len(ledger.acknowledged),
        lost=ledger.lost([one.event for one in stores[0].whole.events]),
        **counts,
    )


async def stored(place: Path, ledger: Ledger) -> tuple[Store, Store]:
    """Return a store whose server was killed after it had been closed once, and one closed."""
    server = Server(folder=new_folder(place / "killed"))
    await _recorded(server, ledger, READINGS)
    server.stop()
    make_free_pages(server.folder / STORE)
    await _recorded(server, ledger, 2 * READINGS)
    server.kill()
    closed_folder = _copied(server.folder, place / "closed")
    open_log(closed_folder, mode="write").close()
    killed, closed = (
        Store(folder=folder, whole=meaning_of(_copied(folder, place / "copy")))
        for folder in (server.folder, closed_folder)
    )
    return killed, closed


async def _recorded(server: Server, ledger: Ledger, count: int) -> None:
    server.start()
    devices = devices_of(server, ledger, 3)
    until = asyncio.Event()
    while len(ledger.acknowledged) < count:
        for device in devices:
            await device.insist([device.event() for _ in range(5)], until)
    for device in devices:
        await device.close()


def make_free_pages(store: Path) -> None:
    """Leave pages in a store that hold nothing any more."""
    with closing(sqlite3.connect(store)) as raw:
        raw.execute("CREATE TABLE away (text TEXT)")
        raw.executemany("INSERT INTO away VALUES (?)", [("gone " * 300,)] * 20)
        raw.commit()
        raw.execute("DROP TABLE away")
        raw.commit()


def _copied(store: Path, copy: Path) -> Path:
    shutil.rmtree(copy, ignore_errors=True)
    shutil.copytree(store, copy, ignore=shutil.ignore_patterns("*-shm", "anchors.jsonl"))
    return copy


def flipped(folder: Path, name: str, bit: int) -> Path:
    """Flip one bit of a file of a folder and return the folder."""
    with (folder / name).open("r+b") as file:
        file.seek(bit // 8)
        byte = file.read(1)[0]
        file.seek(bit // 8)
        file.write(bytes([byte ^ 1 << bit % 8]))
    return folder


def meaning_of(folder: Path) -> Meaning:
    """Return what can be read in the store of a folder.

    Raises
    ------
    TarebookError
        If the program refuses it.
    """
    log = open_log(folder, mode="write")
    try:
        with log.engine.connect() as connection:
            rows = connection.exec_driver_sql(
                "SELECT type, name, sql FROM sqlite_master ORDER BY 2"
            )
            guards = tuple(str(tuple(row)) for row in rows)
        return Meaning(experiment=log.experiment, events=log.events(), guards=guards)
    finally:
        log.close()


def outcome(store: Store, name: str, bit: int, copy: Path) -> str:
    """Flip a bit in copies of a store, and return the column that it belongs to."""
    try:
        if says_so(flipped(_copied(store.folder, copy), name, bit)):
            return "noticed"
        found = meaning_of(flipped(_copied(store.folder, copy), name, bit))
    except TarebookError:
        return "noticed"
    except Exception:
        # Whatever the program did not foresee is what is looked for: counted, and a goal missed.
        return "errors"
    return "no_effect" if found == store.whole else "unnoticed"


def says_so(folder: Path) -> bool:
    """Return whether the program finds something wrong when it verifies a folder or opens it.

    Raises
    ------
    TarebookError
        If it refuses to.
    """
    return not verify(folder).verdict.whole
