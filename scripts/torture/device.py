"""A device of a group, as light as can be: one connection, requests one after the other."""

from __future__ import annotations

import asyncio
import contextlib
import csv
import datetime as dt
import json
import random
import re
import sys
import time
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any
from urllib.parse import urlencode

from scripts.torture.ledger import Ledger
from scripts.torture.server import EXAMPLE

QUANTITIES = ("tare_g", "reagent_mL", "diluent_mL", "vessel_liquid_g", "sample_g", "final_g")
PATIENCE = 30.0
"""Seconds for an answer, as the bench page waits."""
REPEATS = 90

Sent = dict[str, Any]


@cache
def cells() -> tuple[tuple[str, str, str], ...]:
    """Return run, quantity and number of the example's readings, in the order of work."""
    with (EXAMPLE / "readings.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    return tuple((row["run"], quantity, row[quantity]) for row in rows for quantity in QUANTITIES)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the server said."""

    status: int
    head: str
    body: bytes


class CutError(Exception):
    """The connection ended before an answer came."""


class Device:
    """One device that goes through the cups in the order of work.

    Parameters
    ----------
    number : int
        Each has an address of its own where the system lends many to the loopback.
    port : int
    group, code : str
    ledger : Ledger
        In which it writes what was acknowledged.
    """

    def __init__(self, number: int, port: int, group: str, code: str, ledger: Ledger) -> None:
        self.number, self.port, self.group, self.code = number, port, group, code
        self.ledger = ledger
        self.cookie = self.csrf = ""
        self.times: list[float] = []
        self.later: list[float] = []
        """For each run that was not looked at in an answer: seconds until it was."""
        self._unlooked: dict[str, float] = {}
        self.at = number % 3 * len(cells()) // 3
        self._stream: tuple[asyncio.StreamReader, asyncio.StreamWriter] | None = None

    def event(self) -> Sent:
        """Return the next reading."""
        turn, cell = divmod(self.at, len(cells()))
        self.at += 1
        run, quantity, typed = cells()[cell]
        return {
            "id": str(uuid.uuid4()),
            "kind": "reading",
            "run": run,
            "quantity": quantity,
            "typed": typed,
            "repeat": 1 + turn % REPEATS,
            "taken_at": dt.datetime.now(dt.UTC).isoformat(),
            "who": "A. B.",
            "device": f"device {self.number}",
        }

    async def connect(self) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
        """Return the connection, a new one if there is none."""
        if self._stream is None:
            own = f"127.0.{1 + self.number // 250}.{1 + self.number % 250}"
            address = (own, 0) if sys.platform == "linux" else None
            try:
                self._stream = await asyncio.open_connection(
                    "127.0.0.1", self.port, local_addr=address
                )
            except OSError as error:
                raise CutError(str(error)) from error
        return self._stream

    def cut(self) -> None:
        """Drop the connection without a word, as a phone that leaves the room."""
        if self._stream is not None:
            self._stream[1].transport.abort()
            self._stream = None

    async def close(self) -> None:
        """End the connection in the usual way."""
        if self._stream is not None:
            writer, self._stream = self._stream[1], None
            writer.close()
            with contextlib.suppress(OSError):
                await writer.wait_closed()

    def request(self, method: str, path: str, body: bytes = b"", kind: str = "") -> bytes:
        """Return the bytes of a request."""
        lines = [f"{method} {path} HTTP/1.1", f"host: 127.0.0.1:{self.port}"]
        lines += [f"cookie: {self.cookie}"] if self.cookie else []
        lines += [f"x-csrf-token: {self.csrf}"] if self.csrf else []
        lines += [f"content-type: {kind}", f"content-length: {len(body)}"] if kind else []
        return "\r\n".join([*lines, "", ""]).encode() + body

    async def exchange(self, request: bytes) -> Answer:
        """Send a request and return the answer."""
        reader, writer = await self.connect()
        try:
            writer.write(request)
            await writer.drain()
            async with asyncio.timeout(PATIENCE):
                head = (await reader.readuntil(b"\r\n\r\n")).decode("latin-1")
                found = re.search(r"(?i)^content-length: *([0-9]+)", head, re.MULTILINE)
                body = await reader.readexactly(int(found[1]) if found else 0)
        except (OSError, asyncio.IncompleteReadError, TimeoutError) as error:
            self.cut()
            raise CutError(str(error)) from error
        if found := re.search(r"(?i)^set-cookie: *([^;\r]+)", head, re.MULTILINE):
            self.cookie = found[1]
        if re.search(r"(?i)^connection: *close", head, re.MULTILINE):
            self.cut()
        return Answer(status=int(head.split(" ", 2)[1]), head=head, body=body)

    async def join(self) -> None:
        """Join the group by its code."""
        page = await self.exchange(self.request("GET", "/join"))
        found = re.search(rb'data-csrf="([0-9a-f]{64})"', page.body)
        assert found is not None, page.body
        form = urlencode({"csrf": found[1].decode(), "code": self.code}).encode()
        kind = "application/x-www-form-urlencoded"
        joined = await self.exchange(self.request("POST", "/join", form, kind))
        assert joined.status == 303, joined
        series = await self.exchange(self.request("GET", "/api/series"))
        self.csrf = json.loads(series.body)["csrf"]

    def delivery(self, events: Sequence[Sent]) -> bytes:
        """Return the request that delivers events."""
        body = json.dumps({"events": list(events), "look": list(self._unlooked)}).encode()
        return self.request("POST", "/api/events", body, "application/json")

    async def deliver(self, events: Sequence[Sent]) -> bool:
        """Send events once; whether all of them are acknowledged.

        Raises
        ------
        CutError
            If no answer came.
        """
        begun = time.perf_counter()
        answer = await self.exchange(self.delivery(events))
        if answer.status == 503:
            self.ledger.said_no += 1
            self.ledger.reasons.add(json.loads(answer.body)["error"]["code"])
            return False
        if answer.status != 200:
            self.ledger.errors += 1
            return False
        said = json.loads(answer.body)
        self._note(said["runs"])
        self.ledger.errors += len(said["refused"])
        acknowledged = set(said["acknowledged"])
        self.ledger.acknowledge([one for one in events if one["id"] in acknowledged], begun)
        return len(acknowledged) == len(events)

    def _note(self, runs: Sequence[Sent]) -> None:
        """Note which runs were looked at, as the bench page does."""
        now = time.perf_counter()
        for run in runs:
            if not run["looked"]:
                self._unlooked.setdefault(run["run"], now)
            elif run["run"] in self._unlooked:
                self.later.append(now - self._unlooked.pop(run["run"]))

    async def insist(self, events: Sequence[Sent], until: asyncio.Event) -> None:
        """Send events again, with the same ids, until they are acknowledged or it is the end."""
        while not until.is_set():
            with contextlib.suppress(CutError):
                if not self.csrf:
                    await self.join()
                if await self.deliver(events):
                    return
            await asyncio.sleep(0.05)

    async def record(self, until: asyncio.Event, chance: random.Random, most: int = 3) -> None:
        """Record deliveries of one to `most` readings, one after the other."""
        while not until.is_set():
            await self.insist([self.event() for _ in range(chance.randint(1, most))], until)
            await asyncio.sleep(0.01)
        await self.close()
