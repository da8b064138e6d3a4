"""The disk is full while devices record: nothing more is acknowledged until there is room."""

from __future__ import annotations

import asyncio
import random
from collections.abc import Callable
from pathlib import Path

from scripts.torture.clock import Clock
from scripts.torture.kill import devices_of
from scripts.torture.ledger import Ledger, doubled, kept_in
from scripts.torture.server import Server, new_folder
from scripts.torture.table import Row

REFUSALS = 10
"""Deliveries that are refused before there is room again."""
PATIENCE = 60.0


def disk(place: Path, *, seed: int, times: int, clock: Clock) -> Row:
    """Fill the disk so many times, each in a folder of its own, and return what came of it.

    The system refuses the server every file larger than a bound, as it would on a full disk.
    """
    chance, total = random.Random(seed), {"acknowledged": 0, "lost": 0, "doubled": 0}
    errors = noticed = unnoticed = done = 0
    for number in clock.turns(times):
        done += 1
        bound = chance.randrange(200_000, 900_000)
        server = Server(folder=new_folder(place / f"{number}"), file_bytes=bound)
        ledger = Ledger()
        server.start()
        asyncio.run(_fill(server, ledger, chance, kills=number % 2 == 1))
        kept = kept_in(server.folder)
        said = ledger.said_no >= REFUSALS
        noticed, unnoticed = noticed + said, unnoticed + (not said)
        total["acknowledged"] += len(ledger.acknowledged)
        total["lost"] += ledger.lost(kept)
        total["doubled"] += doubled(kept)
        errors += ledger.errors + server.faults()
    return Row(
        what="disk full",
        times=done,
        asked=times,
        noticed=noticed,
        unnoticed=unnoticed,
        errors=errors,
        **total,
    )


async def _fill(server: Server, ledger: Ledger, chance: random.Random, *, kills: bool) -> None:
    until = asyncio.Event()
    devices = devices_of(server, ledger, 4)
    tasks = [
        asyncio.create_task(device.record(until, random.Random(chance.random()), most=10))
        for device in devices
    ]
    await _wait(lambda: ledger.said_no >= REFUSALS)
    if kills:
        # It ends while the disk is full, and there is room when it comes again.
        server.kill()
        server.file_bytes = 0
        await asyncio.to_thread(server.start)
    else:
        server.free_disk()
    after = len(ledger.acknowledged) + 20
    await _wait(lambda: len(ledger.acknowledged) >= after)
    until.set()
    await asyncio.gather(*tasks)
    server.stop()


async def _wait(done: Callable[[], bool]) -> None:
    for _ in range(int(PATIENCE / 0.05)):
        if done():
            return
        await asyncio.sleep(0.05)
