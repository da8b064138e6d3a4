"""The app as it is started: what the terminal says, how it ends, https, the process beside it."""

from __future__ import annotations

import datetime as dt
import os
import re
import signal
import socket
import ssl
import stat
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tarebook.web.certificate import certificate, fingerprint

TAREBOOK = str(Path(sys.executable).with_name("tarebook"))

Start = Callable[..., "subprocess.Popen[str]"]


@pytest.fixture
def start(folder: Path) -> Iterator[Start]:
    """Start the app on a free port; it is ended after the test."""
    running: list[subprocess.Popen[str]] = []

    def begin(*options: str) -> subprocess.Popen[str]:
        command = [TAREBOOK, "bench", str(folder), "--port", "0", "--no-browser", *options]
        app = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
            env={**os.environ, "PYTHONUNBUFFERED": "1"},
        )  # fmt: skip
        running.append(app)
        return app

    yield begin
    for app in running:
        app.kill()
        app.wait()
        assert app.stdout is not None
        app.stdout.close()


def said(app: subprocess.Popen[str]) -> str:
    """Return what the app says until it is ready."""
    assert app.stdout is not None
    lines = []
    for line in app.stdout:
        lines.append(line)
        if line.startswith("Stop with"):
            break
    return "".join(lines)


def status(address: str, context: ssl.SSLContext | None = None) -> int:
    """Return what the app answers, as soon as it does."""
    end = time.monotonic() + 20
    while True:
        try:
            with urllib.request.urlopen(address, timeout=20, context=context) as answer:
                return int(answer.status)
        except ConnectionError:
            assert time.monotonic() < end


def test_alone_it_prints_its_address_and_ends_quietly(start: Start) -> None:
    app = start()
    text = said(app)
    (address,) = re.findall(r"http://127\.0\.0\.1:[0-9]+", text)
    assert "ecret" not in text
    assert status(address) == 200
    app.send_signal(signal.SIGINT)
    assert app.wait(timeout=20) == 0
    assert app.stdout is not None
    stopped, end, digest = app.stdout.read().splitlines()
    assert stopped == "Stopped."
    # The one event is the definition by which readings would have been taken.
    assert end == "The record ends with event 1. Its hash, to be kept elsewhere:"
    assert re.fullmatch(r"  [0-9a-f]{64}", digest)


def test_alone_it_does_not_listen_to_the_room(start: Start) -> None:
    text = said(start())
    port = int(re.findall(r"127\.0\.0\.1:([0-9]+)", text)[0])
    with socket.socket() as other:
        # The whole of 127/8 is this machine; only 127.0.0.1 is listened to.
        other.settimeout(5)
        assert other.connect_ex(("127.0.0.2", port)) != 0


def test_shared_it_shows_secret_once_codes_and_a_square(start: Start, folder: Path) -> None:
    app = start("--share", "--groups", "3")
    text = said(app)
    (secret,) = re.findall(r"shown this once: ([a-z0-9-]+)", text)
    codes = re.findall(r"group [0-9]+: ([A-Z0-9]{3}-[A-Z0-9]{3})", text)
    assert len(codes) == 3
    assert "█" in text or "▄" in text
    port = re.findall(r":([0-9]{4,5})", text)[0]
    assert status(f"http://127.0.0.1:{port}/join") == 200
    app.send_signal(signal.SIGTERM)
    app.wait(timeout=20)
    again = said(start("--share"))
    assert secret not in again
    assert "the one shown before" in again
    assert re.findall(r"group [0-9]+: (\S+)", again) == codes
    assert secret not in (folder / ".bench" / "access.json").read_text()


def test_a_port_that_is_taken_is_said_in_plain_words(folder: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        command = [TAREBOOK, "bench", str(folder), "--port", str(port), "--no-browser"]
        done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 2
    assert f"port {port}" in done.stderr
    assert "--port N" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--port", "99999"], "99999"),
        (["--balance", "/dev/no-such-balance"], "cannot be opened"),
        (["--groups", "1000"], "0 to 200"),
    ],
)
def test_what_cannot_be_is_refused_in_plain_words(
    folder: Path, options: list[str], words: str
) -> None:
    command = [TAREBOOK, "bench", str(folder), "--port", "0", "--no-browser", *options]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 2
    assert words in done.stderr
    assert "Traceback" not in done.stderr


def test_https_with_a_certificate_of_its_own(start: Start, folder: Path) -> None:
    text = said(start("--share", "--https"))
    port = re.findall(r"https://[0-9.]+:([0-9]+)", text)[0]
    made = folder / ".bench" / "certificate.pem"
    assert fingerprint(made) in text
    # Whoever trusts this certificate reaches the app by its names, and checks them.
    context = ssl.create_default_context(cafile=str(made))
    for host in ("localhost", "127.0.0.1"):
        assert status(f"https://{host}:{port}/join", context) == 200
    assert stat.S_IMODE((folder / ".bench" / "key.pem").stat().st_mode) == 0o600


def test_a_certificate_is_kept_as_long_as_it_serves(tmp_path: Path) -> None:
    now = dt.datetime(2026, 10, 5, tzinfo=dt.UTC)
    names = ["localhost", "127.0.0.1"]
    first, _ = certificate(tmp_path, names, now)
    kept = first.read_bytes()
    certificate(tmp_path, names, now + dt.timedelta(days=300))
    assert first.read_bytes() == kept
    certificate(tmp_path, [*names, "192.0.2.4"], now + dt.timedelta(days=300))
    moved = first.read_bytes()
    assert moved != kept
    certificate(tmp_path, names, now + dt.timedelta(days=300 + 360))
    assert first.read_bytes() != moved
    first.write_text("not a certificate")
    certificate(tmp_path, names, now)
    assert b"BEGIN CERTIFICATE" in first.read_bytes()


KILLED = """
import os, signal
from concurrent.futures.process import BrokenProcessPool
from tarebook.api.bench.background import Background
if __name__ == "__main__":
    background = Background(workers=True)
    first = second = background.start(os.getpid).result()
    os.kill(first, signal.SIGKILL)
    while second == first:
        # A job that was under way when the end was noticed fails; the next one begins it again.
        try:
            second = background.start(os.getpid).result()
        except BrokenProcessPool:
            pass
    print(first != second, second != os.getpid())
    background.close()
"""


def test_the_process_beside_the_server_is_begun_again_if_it_was_ended(tmp_path: Path) -> None:
    script = tmp_path / "killed.py"
    script.write_text(KILLED)
    command = [sys.executable, str(script)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    assert done.stdout.split() == ["True", "True"]


BUSY = """
import time
from tarebook.api.bench.background import Background
if __name__ == "__main__":
    background = Background(workers=True)
    background.start(int, "1").result()
    running = background.start(time.sleep, 600)
    while not running.running():
        time.sleep(0.01)
    asked = []
    running.add_done_callback(lambda _: asked.append(background.start(time.sleep, 600)))
    background.close()
    print(type(running.exception()).__name__, asked[0].cancelled())
"""


def test_the_process_beside_the_server_is_not_waited_for_when_the_app_ends(tmp_path: Path) -> None:
    script = tmp_path / "busy.py"
    script.write_text(BUSY)
    command = [sys.executable, str(script)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    assert done.stdout.split() == ["BrokenProcessPool", "True"]


IDLE = """
import os
from tarebook.api.bench.background import Background
if __name__ == "__main__":
    background = Background(workers=True)
    print(background.start(os.sched_getscheduler, 0).result() == os.SCHED_IDLE)
    background.close()
"""


@pytest.mark.skipif(not hasattr(os, "SCHED_IDLE"), reason="Linux alone has such a class")
def test_the_process_beside_the_server_works_only_where_the_server_does_not(tmp_path: Path) -> None:
    script = tmp_path / "idle.py"
    script.write_text(IDLE)
    command = [sys.executable, str(script)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    assert done.stdout.split() == ["True"]


ORPHAN = """
import os, sys, time
from tarebook.api.bench.background import Background
if __name__ == "__main__":
    background = Background(workers=True)
    print(background.start(os.getpid).result(), flush=True)
    time.sleep(60)
"""


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="looks the process up in /proc")
def test_the_process_beside_the_server_ends_with_it_however_it_ends(tmp_path: Path) -> None:
    script = tmp_path / "orphan.py"
    script.write_text(ORPHAN)
    command = [sys.executable, str(script)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL) as app:
        assert app.stdout is not None
        worker = int(app.stdout.readline())
        assert Path(f"/proc/{worker}").exists()
        app.kill()
        app.wait()
    end = time.monotonic() + 20
    while _runs(worker):
        assert time.monotonic() < end
        time.sleep(0.05)


def _runs(process: int) -> bool:
    """Return whether a process runs; one that has ended and waits to be noticed does not."""
    try:
        state = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0]
    except (FileNotFoundError, ProcessLookupError):
        return False
    return state != "Z"
