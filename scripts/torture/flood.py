"""A class records normally, on a machine with few open files, while one device floods.

Then all send at once what they have, as after a dropped network, beside a bare loop that puts
single readings into a table on the same disk, each committed durably before the next.
"""

from __future__ import annotations

import asyncio
import contextlib
import random
import sqlite3
import time
import uuid
from collections.abc import Sequence
from pathlib import Path

from scripts.torture.device import PATIENCE, CutError, Device
from scripts.torture.kill import devices_of
from scripts.torture.ledger import Ledger, doubled, kept_in
from scripts.torture.server import Server, new_folder
from scripts.torture.table import Row, p99_ms

from tarebook.api.bench import MOST_EVENTS

FILES = 256
"""Open files that the server may have, as macOS allows by default."""
IN_DELIVERY, MOST_OF_DEVICE = MOST_EVENTS, 1020
HALF_OPEN, AT_ONCE = 200, 8
"""Requests that the flooding device leaves unfinished, and connections on which it sends."""
LATEST = 1.5
"""So many times the time, and a moment, after which the class no longer tries."""


def flood(place: Path, *, seed: int, seconds: float, devices: int = 120) -> tuple[Row, Row]:
    """Flood the server for so many seconds, then let all send at once; return what came of it."""
    server = Server(folder=new_folder(place), groups=devices // 3 + 1, files=FILES)
    class_, other = Ledger(), Ledger()
    server.start()
    megabytes: float | None = None
    try:
        times, later, per_second = asyncio.run(
            _flood(server, class_, other, devices, seconds, random.Random(seed))
        )
        megabytes = server.megabytes()
    finally:
        server.stop()
    kept = kept_in(server.folder)
    bare = _bare(place.with_name("bare.db"))
    return (
        Row(
            what=f"{devices} devices record on {FILES} open files while another one floods; "
            f"{_said_later(times, later)}",
            times=1,
            acknowledged=len(class_.acknowledged),
            lost=class_.lost(kept),
            doubled=doubled(kept),
            errors=class_.errors + class_.said_no + server.faults(),
            p99_ms=p99_ms(times),
        ),
        Row(
            what=f"the flood, then all {devices} send at once: {per_second:.0f} readings/s "
            f"(bare durable inserts {bare:.0f}/s); memory {megabytes or 0.0:.0f} MB at most",
            times=1,
            acknowledged=len(other.acknowledged),
            lost=other.lost(kept),
            ratio=per_second / bare,
            megabytes=megabytes,
        ),
    )


async def _flood(
    server: Server,
    class_: Ledger,
    other: Ledger,
    count: int,
    seconds: float,
    chance: random.Random,
) -> tuple[list[float], list[float], float]:
    # The flooding device is of a group of its own.
    group = list(server.codes)[-1]
    devices = devices_of(server, class_, count, but=group)
    flooding = Device(count, server.port, group, server.codes[group], other)
    for device in (*devices, flooding):
        await device.join()
    until = asyncio.Event()
    tasks = [asyncio.create_task(_half_open(flooding, until)) for _ in range(HALF_OPEN)]
    tasks += [asyncio.create_task(_send(_like(flooding), until)) for _ in range(AT_ONCE)]
    start = time.perf_counter() + 1
    late = asyncio.Event()
    asyncio.get_running_loop().call_later(PATIENCE + LATEST * seconds, late.set)
    await asyncio.gather(
        *(
            _each_second(one, start, seconds, random.Random(chance.random()), late)
            for one in devices
        )
    )
    until.set()
    for task in tasks:
        task.cancel()
    await asyncio.gather(*tasks, return_exceptions=True)
    times = [each for device in devices for each in device.times]
    later = [each for device in devices for each in device.later]
    for device in devices:
        device.ledger = other
    before, begun = len(other.acknowledged), time.perf_counter()
    late = asyncio.Event()
    asyncio.get_running_loop().call_later(PATIENCE, late.set)
    await asyncio.gather(*(_all_at_once(device, begun + 5, late) for device in devices))
    per_second = (len(other.acknowledged) - before) / (time.perf_counter() - begun)
    for device in (*devices, flooding):
        await device.close()
    return times, later, per_second


def _said_later(times: Sequence[float], later: Sequence[float]) -> str:
    """Return in words how many deliveries were taken first and looked at later, and how late."""
    if not later:
        return "each was looked at as it came"
    return f"{100 * len(later) / len(times):.1f} % were looked at later, {max(later):.0f} s at most"


def _like(device: Device) -> Device:
    """Return another connection of the same device."""
    another = Device(device.number, device.port, device.group, device.code, device.ledger)
    another.cookie, another.csrf = device.cookie, device.csrf
    return another


async def _each_second(
    device: Device, start: float, seconds: float, chance: random.Random, late: asyncio.Event
) -> None:
    """Record one reading a second, at any moment of it, until it is too late."""
    for second in range(int(seconds)):
        due = start + second + chance.random()
        await asyncio.sleep(max(0.0, due - time.perf_counter()))
        begun = time.perf_counter()
        event = device.event()
        await device.insist([event], late)
        device.times.append(time.perf_counter() - begun)
        # What cannot be recorded in half as long again is an error.
        device.ledger.errors += event["id"] not in device.ledger.acknowledged


async def _send(device: Device, until: asyncio.Event) -> None:
    """Send full deliveries and ask for everything, one after the other, as fast as it goes."""
    try:
        while not until.is_set():
            with contextlib.suppress(CutError):
                await device.deliver([device.event() for _ in range(IN_DELIVERY)])
                await device.exchange(device.request("GET", "/api/series"))
                await device.exchange(device.request("GET", "/api/results"))
            await asyncio.sleep(0)
    finally:
        device.cut()


async def _half_open(device: Device, until: asyncio.Event) -> None:
    """Begin a request and leave it unfinished; begin again when the server hangs up."""
    while not until.is_set():
        one = _like(device)
        try:
            reader, writer = await one.connect()
            writer.write(b"GET / HTTP/1.1\r\nhost: ")
            await reader.read(1)
        except (OSError, CutError):
            await asyncio.sleep(0.1)
        finally:
            one.cut()
        await asyncio.sleep(0.02)


async def _all_at_once(device: Device, end: float, late: asyncio.Event) -> None:
    for _ in range(MOST_OF_DEVICE // IN_DELIVERY):
        if time.perf_counter() > end:
            return
        events = [device.event() for _ in range(IN_DELIVERY)]
        await device.insist(events, late)


def _bare(path: Path, seconds: float = 2.0) -> float:
    """Return how many single durable inserts a bare loop makes in a second."""
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as base:
        base.execute("PRAGMA journal_mode = WAL")
        base.execute("PRAGMA synchronous = FULL")
        base.execute("CREATE TABLE reading (id TEXT PRIMARY KEY, typed TEXT) STRICT")
        count, end = 0, time.perf_counter() + seconds
        while time.perf_counter() < end:
            base.execute("BEGIN IMMEDIATE")
            base.execute("INSERT INTO reading VALUES (?, ?)", (str(uuid.uuid4()), "15.790"))
            base.execute("COMMIT")
            count += 1
    return count / seconds
