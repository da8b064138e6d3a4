"""The server is killed again and again while many devices send: what was acknowledged is there.

A helper process imports the app once, listens on a port of its own, and forks a server that serves
it; the server is killed at a random moment, while it starts or while it serves, and the next one
takes over the same port. Devices do what the bench page does: they send again, with the same ids,
until they are told that it is on the disk.
"""

from __future__ import annotations

import datetime as dt
import os
import subprocess
import sys
import threading
import uuid
from pathlib import Path

import httpx2
import pytest

from tarebook.api.record import open_record
from tarebook.records.chain import verify_links
from tarebook.records.events import DEFINITION

KILLS = 50
DEVICES = 8

HELPER = """
import os, random, signal, socket, sys, time, urllib.request
from pathlib import Path
import alembic.command, psycopg, uvicorn
from tarebook.api import bench
from tarebook.web.app import build_app
from tarebook.web.settings import Settings

folder, kills = Path(sys.argv[1]), int(sys.argv[2])
chance = random.Random(5)
listening = socket.socket()
listening.bind(("127.0.0.1", 0))
listening.listen(128)
port = listening.getsockname()[1]

def serve():
    with bench.open_workspace(folder, workers=False) as workspace:
        app = build_app(workspace, Settings(port=port))
        config = uvicorn.Config(app, log_level="critical", lifespan="off", ws="none")
        uvicorn.Server(config).run(sockets=[listening])

def begin():
    child = os.fork()
    if child == 0:
        try:
            serve()
        finally:
            os._exit(1)
    return child

def answers():
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/api/balance", timeout=20) as answer:
            return answer.status == 200
    except OSError:
        return False

print(port, flush=True)
served = 0
for number in range(kills):
    child = begin()
    ready = number % 3 > 0 and answers()
    served += ready
    time.sleep(chance.uniform(0, 0.3 if ready else 0.1))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
child = begin()
answers()
print(served, flush=True)
sys.stdin.read()
os.kill(child, signal.SIGKILL)
os.waitpid(child, 0)
"""


class Device:
    """One device that sends readings one after the other, each until it is acknowledged."""

    def __init__(self, port: int, number: int, stop: threading.Event) -> None:
        self.number, self.stop = number, stop
        self.acknowledged: list[str] = []
        self.client = httpx2.Client(base_url=f"http://127.0.0.1:{port}", timeout=20)
        self.csrf = ""

    def run(self) -> None:
        with self.client:
            while not self.stop.is_set():
                self.send(str(uuid.uuid4()))

    def send(self, id_: str) -> None:
        event = {
            "id": id_, "kind": "reading", "run": str(1 + self.number % 8), "quantity": "minutes",
            "typed": "9", "taken_at": dt.datetime.now(dt.UTC).isoformat(),
            "device": f"phone {self.number}",
        }  # fmt: skip
        while True:
            try:
                if not self.csrf:
                    self.csrf = self.client.get("/api/series").json()["csrf"]
                headers = {"x-csrf-token": self.csrf}
                answer = self.client.post("/api/events", json={"events": [event]}, headers=headers)
            except httpx2.TransportError:
                continue
            assert answer.status_code in (200, 503), answer.text
            if answer.status_code == 200:
                assert answer.json()["acknowledged"] == [id_]
                self.acknowledged.append(id_)
                return


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, folder: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder whose record is in one of the databases."""
    if request.param == "postgresql":
        url = request.getfixturevalue("postgresql").url
        monkeypatch.setenv("TAREBOOK_DATABASE", url)
    return folder


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the helper forks")
def test_what_was_acknowledged_survives_fifty_kills_of_the_server(place: Path) -> None:
    command = [sys.executable, "-c", HELPER, str(place), str(KILLS)]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as helper:
        assert helper.stdin is not None
        assert helper.stdout is not None
        port = int(helper.stdout.readline())
        stop = threading.Event()
        devices = [Device(port, number, stop) for number in range(DEVICES)]
        threads = [threading.Thread(target=device.run) for device in devices]
        for thread in threads:
            thread.start()
        served = int(helper.stdout.readline())
        stop.set()
        for thread in threads:
            thread.join(timeout=60)
            assert not thread.is_alive()
        helper.stdin.close()
        assert helper.wait(timeout=30) == 0
    # Else the servers were killed before they could answer, and nothing would be tested.
    assert served >= KILLS / 2
    acknowledged = [id_ for device in devices for id_ in device.acknowledged]
    assert len(acknowledged) > KILLS
    with open_record(place, mode="read") as opened:
        events = [one.event for one in opened.log.events()]
        kept = [event.id for event in events if event.column != DEFINITION]
        assert verify_links(opened.log.experiment, opened.log.links()).whole
    assert sorted(kept) == sorted(acknowledged)
