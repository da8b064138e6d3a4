"""The server is killed at a random moment, again and again, while devices record."""

from __future__ import annotations

import asyncio
import random
from collections.abc import Iterator
from pathlib import Path

from scripts.torture.clock import Clock
from scripts.torture.device import Device
from scripts.torture.ledger import Ledger, doubled, kept_in
from scripts.torture.server import Server, new_folder
from scripts.torture.table import Row

DEVICES = 6


def kill(place: Path, *, seed: int, times: int, clock: Clock, database: str = "") -> Row:
    """Kill the server so many times and return what came of it."""
    chance = random.Random(seed)
    server = Server(folder=new_folder(place), database=database)
    ledger = Ledger()
    server.start()
    done = asyncio.run(_record(server, ledger, chance, clock.turns(times)))
    kept = kept_in(server.folder, database)
    return Row(
        what=f"server killed (SIGKILL), {'PostgreSQL' if database else 'SQLite'}",
        times=done,
        asked=times,
        acknowledged=len(ledger.acknowledged),
        lost=ledger.lost(kept),
        doubled=doubled(kept),
        errors=ledger.errors + server.faults(),
    )


async def _record(
    server: Server, ledger: Ledger, chance: random.Random, turns: Iterator[int]
) -> int:
    done = 0
    until = asyncio.Event()
    devices = devices_of(server, ledger, DEVICES)
    tasks = [
        asyncio.create_task(device.record(until, random.Random(chance.random())))
        for device in devices
    ]
    for number in turns:
        # Every fourth time it is killed before it listens.
        if number % 4 == 3:
            server.kill()
            server.begin()
            await asyncio.sleep(chance.uniform(0, 2))
        else:
            await asyncio.sleep(chance.uniform(0.2, 1.5))
        server.kill()
        await asyncio.to_thread(server.start)
        done += 1
    await asyncio.sleep(1)
    until.set()
    await asyncio.gather(*tasks)
    server.stop()
    return done


def devices_of(server: Server, ledger: Ledger, count: int, but: str = "") -> list[Device]:
    """Return so many devices, spread over the groups but one."""
    groups = [group for group in server.codes if group != but]
    of = [groups[number % len(groups)] for number in range(count)]
    return [Device(n, server.port, of[n], server.codes[of[n]], ledger) for n in range(count)]
