"""Load on the app at the bench: many devices that record at once, and a flood of readings.

    .venv/bin/python scripts/load_bench.py [--devices 120] [--seconds 60] [--json]

First every device sends one reading a second, as people do; then all send deliveries of many
readings as fast as they are acknowledged, as after a dropped network; then a bare loop puts single
readings into a table on the same disk, each committed durably before the next. The app runs as it
does in a lesson, in a process of its own; all traffic stays on this machine.
"""

from __future__ import annotations

import argparse
import asyncio
import csv
import datetime as dt
import json
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
import uuid
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import httpx2

from tarebook.api.open_record import open_record
from tarebook.records.events import Kind

MOST_P99_MS, LEAST_RATIO = 150.0, 0.5
"""Bounds of a measurement on a quiet machine."""

EXAMPLE = Path(__file__).parents[1] / "examples" / "clean-pool-granules"
DEVICES_OF_GROUP = 3
IN_DELIVERY = 200
"""Readings in one delivery of the flood, the most that the app takes at once."""
MOST_OF_DEVICE = 1_000
"""Readings of a device in the flood: twenty whole series."""

QUANTITIES = ("tare_g", "reagent_mL", "diluent_mL", "vessel_liquid_g", "sample_g", "final_g")


def cells() -> list[tuple[str, str, str]]:
    """Return run, quantity and number of the example's readings, in the order of work."""
    with (EXAMPLE / "readings.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    return [(row["run"], quantity, row[quantity]) for row in rows for quantity in QUANTITIES]


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What was measured.

    Attributes
    ----------
    devices, seconds : int
    sent, errors : int
        Readings sent at a reading a second, and those that were not acknowledged.
    p50_ms, p99_ms, worst_ms : float
        From sending to the acknowledgement, at the device.
    acknowledged, recorded : int
        Readings that were acknowledged in both parts, and those in the store at the end.
    flood_per_s : float
        Readings acknowledged each second when everybody sends as fast as it goes.
    bare_per_s : float
        Durable single inserts each second on the same disk.
    """

    devices: int
    seconds: int
    sent: int
    errors: int
    p50_ms: float
    p99_ms: float
    worst_ms: float
    acknowledged: int
    recorded: int
    flood_per_s: float
    bare_per_s: float


class Device:
    """One device of a group, going through the cups in the order of work."""

    def __init__(self, number: int, group: str, code: str, address: str) -> None:
        self.number, self.group, self.code = number, group, code
        self.client = httpx2.AsyncClient(base_url=address, timeout=30)
        self.csrf = ""
        self.cells = cells()
        self.at = number % DEVICES_OF_GROUP * len(self.cells) // DEVICES_OF_GROUP
        self.times: list[float] = []
        self.acknowledged = self.errors = 0

    async def join(self) -> None:
        page = await self.client.get("/join")
        token = page.text.split('data-csrf="')[1][:64]
        joined = await self.client.post("/join", data={"csrf": token, "code": self.code})
        assert joined.status_code == 303, joined.text
        self.csrf = (await self.client.get("/api/series")).json()["csrf"]

    def event(self) -> dict[str, Any]:
        turn, cell = divmod(self.at, len(self.cells))
        self.at += 1
        run, quantity, typed = self.cells[cell]
        return {
            "id": str(uuid.uuid4()), "kind": "reading", "run": run, "quantity": quantity,
            "typed": typed, "repeat": 1 + turn % 90,
            "taken_at": dt.datetime.now(dt.UTC).isoformat(), "who": "A. B.",
            "device": f"device {self.number}",
        }  # fmt: skip

    async def send(self, count: int) -> int:
        """Send readings and return how many were acknowledged."""
        events = [self.event() for _ in range(count)]
        before = time.perf_counter()
        answer = await self.client.post(
            "/api/events", json={"events": events}, headers={"x-csrf-token": self.csrf}
        )
        self.times.append(time.perf_counter() - before)
        if answer.status_code != 200:
            self.errors += count
            return 0
        acknowledged = len(answer.json()["acknowledged"])
        self.acknowledged += acknowledged
        self.errors += count - acknowledged
        return acknowledged

    async def record(self, seconds: int, start: float) -> None:
        """Send one reading a second, each device at its own moment of it."""
        for second in range(seconds):
            due = start + second + self.number % 97 / 97
            await asyncio.sleep(max(0.0, due - time.perf_counter()))
            await self.send(1)

    async def flood(self, end: float) -> int:
        """Send full deliveries one after the other."""
        sent = 0
        while time.perf_counter() < end and sent < MOST_OF_DEVICE:
            sent += await self.send(IN_DELIVERY)
        return sent


def measure(n_devices: int, seconds: int, flood_seconds: float = 5.0) -> Load:
    """Start the app, put load on it, and return what was measured."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "pool"
        folder.mkdir()
        shutil.copy(EXAMPLE / "experiment.toml", folder)
        groups = -(-n_devices // DEVICES_OF_GROUP)
        command = [str(Path(sys.executable).with_name("tarebook")), "bench", str(folder)]
        command += ["--port", "0", "--no-browser", "--share", "--groups", str(groups)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as app:
            try:
                address, codes = _said(app)
                load = asyncio.run(_load(n_devices, seconds, flood_seconds, address, codes))
            finally:
                app.send_signal(signal.SIGTERM)
        recorded = _recorded(folder)
        bare = _bare(Path(place) / "bare.db")
    return Load(**load, recorded=recorded, bare_per_s=bare)


def _said(app: subprocess.Popen[str]) -> tuple[str, dict[str, str]]:
    assert app.stdout is not None
    port, codes = "", {}
    for line in app.stdout:
        if found := re.search(r"http://[0-9.]+:([0-9]+)", line):
            port = port or found[1]
        if found := re.search(r"group (\S+): (\S+)", line):
            codes[found[1]] = found[2]
        if line.startswith("Stop with"):
            break
    # Loopback, whatever address the room would use.
    return f"http://127.0.0.1:{port}", codes


async def _load(
    n_devices: int, seconds: int, flood_seconds: float, address: str, codes: dict[str, str]
) -> dict[str, Any]:
    names = list(codes)
    devices = [
        Device(n, names[n % len(names)], codes[names[n % len(names)]], address)
        for n in range(n_devices)
    ]
    for device in devices:
        await device.join()
    start = time.perf_counter() + 1.0
    await asyncio.gather(*(device.record(seconds, start) for device in devices))
    times = sorted(t for device in devices for t in device.times)
    errors = sum(device.errors for device in devices)
    before = time.perf_counter()
    sent = await asyncio.gather(*(device.flood(before + flood_seconds) for device in devices))
    flood = sum(sent) / (time.perf_counter() - before)
    for device in devices:
        await device.client.aclose()
    return {
        "devices": n_devices,
        "seconds": seconds,
        "sent": len(times),
        "errors": errors,
        "p50_ms": 1000 * times[len(times) // 2],
        "p99_ms": 1000 * times[int(len(times) * 0.99)],
        "worst_ms": 1000 * times[-1],
        "acknowledged": sum(device.acknowledged for device in devices),
        "flood_per_s": flood,
    }


def _recorded(folder: Path) -> int:
    """Return how many different readings the record holds."""
    with open_record(folder, mode="read") as record:
        events = [one.event for one in record.log.events()]
    return len({event.id for event in events if event.kind is Kind.READING})


def _bare(path: Path, seconds: float = 3.0) -> float:
    """Return how many single durable inserts a bare loop makes in a second."""
    with sqlite3.connect(path, isolation_level=None) as base:
        base.execute("PRAGMA journal_mode = WAL")
        base.execute("PRAGMA synchronous = FULL")
        base.execute("CREATE TABLE reading (id TEXT PRIMARY KEY, typed TEXT) STRICT")
        count, end = 0, time.perf_counter() + seconds
        while time.perf_counter() < end:
            base.execute("BEGIN IMMEDIATE")
            base.execute("INSERT INTO reading VALUES (?, ?)", (str(uuid.uuid4()), "15.790"))
            base.execute("COMMIT")
            count += 1
    base.close()
    return count / seconds


def main() -> int:
    """Measure and print; 1 if a bound is not met."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--devices", type=int, default=120)
    parser.add_argument("--seconds", type=int, default=60)
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    load = measure(given.devices, given.seconds)
    if given.json:
        print(json.dumps(asdict(load)))
        return 0
    print(
        f"{load.devices} devices, one reading a second each, {load.seconds} s: {load.sent} sent, "
        f"{load.errors} not acknowledged"
    )
    print(
        f"  acknowledged after {load.p50_ms:.0f} ms (median), {load.p99_ms:.0f} ms (99 of 100), "
        f"{load.worst_ms:.0f} ms (slowest)"
    )
    print(f"  all at once, {IN_DELIVERY} in a delivery: {load.flood_per_s:.0f} readings/s")
    print(
        f"  bare durable inserts on the same disk: {load.bare_per_s:.0f}/s "
        f"(ratio {load.flood_per_s / load.bare_per_s:.2f})"
    )
    print(f"  acknowledged {load.acknowledged}, in the record {load.recorded}")
    kept = load.errors == 0 and load.recorded == load.acknowledged
    quick = load.p99_ms < MOST_P99_MS and load.flood_per_s >= LEAST_RATIO * load.bare_per_s
    return 0 if kept and quick else 1


if __name__ == "__main__":
    sys.exit(main())
