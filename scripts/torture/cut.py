"""Devices drop their connection in mid request or before the answer, and send again."""

from __future__ import annotations

import asyncio
import contextlib
import random
from collections.abc import Iterator
from pathlib import Path

from scripts.torture.clock import Clock
from scripts.torture.device import PATIENCE, CutError, Device
from scripts.torture.kill import devices_of
from scripts.torture.ledger import Ledger, doubled, kept_in
from scripts.torture.server import Server, new_folder
from scripts.torture.table import Row

DEVICES = 10


def cut(place: Path, *, seed: int, times: int, clock: Clock) -> Row:
    """Drop so many connections, and return what came of it."""
    server, ledger = Server(folder=new_folder(place)), Ledger()
    server.start()
    try:
        done = asyncio.run(_record(server, ledger, seed, -(-times // DEVICES), clock))
    finally:
        server.stop()
    kept = kept_in(server.folder)
    return Row(
        what="connection dropped in mid request or before the answer, and sent again",
        times=done,
        asked=times,
        acknowledged=len(ledger.acknowledged),
        lost=ledger.lost(kept),
        # What was sent and never acknowledged would be there too often as well.
        doubled=doubled(kept) + max(len(kept) - len(ledger.acknowledged), 0),
        errors=ledger.errors + server.faults(),
    )


async def _record(server: Server, ledger: Ledger, seed: int, each: int, clock: Clock) -> int:
    devices = devices_of(server, ledger, DEVICES)
    for device in devices:
        await device.join()
    drops = (_drop(one, random.Random(seed + one.number), clock.turns(each)) for one in devices)
    return sum(await asyncio.gather(*drops))


async def _drop(device: Device, chance: random.Random, turns: Iterator[int]) -> int:
    """Drop the connection, then send the same again until it is acknowledged."""
    done = 0
    for _ in turns:
        done += 1
        events = [device.event() for _ in range(chance.randint(1, 5))]
        request = device.delivery(events)
        whole = chance.random() < 0.6
        _, writer = await device.connect()
        writer.write(request if whole else request[: chance.randrange(1, len(request))])
        await writer.drain()
        # Now before the server has read it, now while it works, now when it has answered.
        await asyncio.sleep(chance.choice((0.0, 0.001, 0.01, 0.1)))
        device.cut()
        if chance.random() < 0.3:
            await _twice_at_once(device, events)
        late = asyncio.Event()
        timer = asyncio.get_running_loop().call_later(4 * PATIENCE, late.set)
        await device.insist(events, late)
        timer.cancel()
        if late.is_set():
            device.ledger.errors += 1
            break
    await device.close()
    return done


async def _twice_at_once(device: Device, events: list[dict[str, object]]) -> None:
    """Send the same on two connections at the same moment."""
    another = Device(device.number, device.port, device.group, device.code, device.ledger)
    another.cookie, another.csrf = device.cookie, device.csrf
    with contextlib.suppress(CutError):
        await asyncio.gather(device.deliver(events), another.deliver(events))
    await another.close()
