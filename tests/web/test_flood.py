"""Real connections to a real server: floods, slow and endless requests, few open files."""

from __future__ import annotations

import asyncio
import contextlib
import logging
import os
import re
import resource
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.own_thread import in_own_thread

from tarebook.web.connections import (
    IN_A_ROW,
    LET_IN_A_SECOND,
    SLACK,
    Connections,
    Door,
    State,
)
from tarebook.web.limits import FILES_UNKNOWN, Limits, limits_for, raise_open_files
from tarebook.web.log import OwnersFile, Seldom, Sentences
from tarebook.web.serve import _config
from tarebook.web.settings import Settings

TAREBOOK = str(Path(sys.executable).with_name("tarebook"))

EXAMPLE = Path(__file__).parents[2] / "examples" / "clean-pool-granules"

FEW_FILES = 256

FLOOD = 1100

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="limits of open files")


class Server:
    """The app in a process of its own, with what it said."""

    def __init__(self, folder: Path, files: int, *options: str) -> None:
        self.log = folder.parent / "said.txt"
        command = [TAREBOOK, "bench", str(folder), "--port", "0", "--no-browser", *options]

        def few_files() -> None:
            resource.setrlimit(resource.RLIMIT_NOFILE, (files, files))

        with self.log.open("w") as file:
            self.process = subprocess.Popen(
                command, stdout=file, stderr=subprocess.STDOUT, preexec_fn=few_files,
                env={**os.environ, "PYTHONUNBUFFERED": "1"},
            )  # fmt: skip
        while "Stop with" not in self.said():
            assert self.process.poll() is None, self.said()
            time.sleep(0.05)
        self.port = int(re.findall(r"https?://[0-9.]+:([0-9]+)", self.said())[0])

    def said(self) -> str:
        """Return what it said so far."""
        return self.log.read_text()

    def connect(self, source: str = "127.0.0.1") -> socket.socket:
        """Return a connection from an address of this machine."""
        return socket.create_connection(
            ("127.0.0.1", self.port), timeout=30, source_address=(source, 0)
        )

    def status(self, path: str = "/join") -> int:
        """Return the status of a page."""
        with self.connect() as connection:
            connection.sendall(f"GET {path} HTTP/1.0\r\nhost: 127.0.0.1\r\n\r\n".encode())
            return status_of(connection)

    def megabytes(self) -> float:
        """Return the largest memory that it ever had."""
        status = Path(f"/proc/{self.process.pid}/status").read_text()
        return int(re.findall(r"VmHWM:\s+(\d+) kB", status)[0]) / 1024

    def end(self) -> None:
        """End it."""
        self.process.send_signal(signal.SIGTERM)
        self.process.wait(timeout=60)


def status_of(connection: socket.socket) -> int:
    """Return the status of the next answer; 0 where the connection was closed instead."""
    try:
        said = connection.recv(4096)
    except ConnectionError:
        return 0
    return int(said.split()[1]) if said else 0


@pytest.fixture
def begin(folder: Path) -> Iterator[Callable[..., Server]]:
    running: list[Server] = []

    def begun(*options: str, files: int = FEW_FILES) -> Server:
        running.append(Server(folder, files, *options))
        return running[-1]

    yield begun
    for server in running:
        server.process.kill()
        server.process.wait()


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server that some tests share: each leaves it able to answer."""
    folder = tmp_path_factory.mktemp("flood") / "pool"
    folder.mkdir()
    shutil.copy(EXAMPLE / "experiment.toml", folder)
    running = Server(folder, FEW_FILES)
    yield running
    running.process.kill()
    running.process.wait()


@pytest.mark.parametrize(
    "begun",
    [
        b"GET /join HTTP/1.1\r\nhost: 127.0.0.1\r\nx-slow: ",
        b"POST /join HTTP/1.1\r\nhost: 127.0.0.1\r\ncontent-length: 1000\r\n\r\nco",
        b"POST /join HTTP/1.1\r\nhost: 127.0.0.1\r\ntransfer-encoding: chunked\r\n\r\n2\r\nco",
        b"GET /join HTTP/1.1\r\nhost: 127.0.0.1\r\ncontent-length: 1000\r\n\r\n",
    ],
    ids=["head", "body", "chunks", "body of a question"],
)
def test_a_flood_of_half_open_requests_locks_nobody_out(
    begin: Callable[..., Server], begun: bytes
) -> None:
    """The flood comes from the address that everybody has, as in a school behind one."""
    server = begin("--share")
    flood = []
    try:
        for number in range(FLOOD):
            connection = server.connect()
            connection.sendall(begun)
            flood.append(connection)
            if number % 100 == 99:
                assert server.status() == 200
        assert server.status() == 200
    finally:
        for connection in flood:
            connection.close()
    server.end()
    said = server.said()
    assert "Traceback" not in said
    # Each kind of line once a minute: a flood of seconds leaves a line or two.
    assert len(re.findall("too many connections", said)) <= 3
    assert len(said) < 10_000


def test_120_devices_on_256_open_files(begin: Callable[..., Server]) -> None:
    """All at one address, each with a connection that it keeps, all asking at the same moment."""
    server = begin("--share")
    request = b"GET /join HTTP/1.1\r\nhost: 127.0.0.1\r\n\r\n"
    devices = [server.connect() for _ in range(120)]
    try:
        for _ in range(3):
            for device in devices:
                device.sendall(request)
            for device in devices:
                assert whole_answer(device).startswith(b"HTTP/1.1 200 ")
    finally:
        for device in devices:
            device.close()
    server.end()
    assert "WARNING" not in server.said()
    assert "ERROR" not in server.said()


def whole_answer(connection: socket.socket) -> bytes:
    """Return an answer to its last byte."""
    said = b""
    while b"\r\n\r\n" not in said:
        said += connection.recv(65536)
    head, _, body = said.partition(b"\r\n\r\n")
    (length,) = re.findall(rb"content-length: (\d+)", head)
    while len(body) < int(length):
        body += connection.recv(65536)
    return head


@pytest.mark.parametrize("piece", [b"x-endless: " + b"y" * 8000 + b"\r\n", b"y" * 8000, b"\r\n"])
def test_a_head_without_end_is_cut_off(server: Server, piece: bytes) -> None:
    with server.connect() as connection:
        connection.sendall(
            b"\r\n" if piece == b"\r\n" else b"GET / HTTP/1.1\r\nhost: localhost\r\n"
        )
        pieces = piece * (1 + 8000 // len(piece))
        n_sent = 0
        while _sent(connection, pieces):
            n_sent += len(pieces)
            assert n_sent < 64_000_000
    assert server.status("/") == 200
    assert server.megabytes() < 600


CHUNKED = b"POST /join HTTP/1.1\r\nhost: localhost\r\ntransfer-encoding: chunked\r\n\r\n"


@pytest.mark.parametrize(
    ("begun", "piece"),
    [
        (b"0\r\n", b"x-endless: " + b"y" * 8000 + b"\r\n"),
        (b"0\r\nx-endless: ", b"y" * 8000),
        (b"1;", b"y" * 8000),
    ],
    ids=["lines after the body", "one line after the body", "words beside a piece"],
)
def test_what_comes_beside_a_body_has_an_end(server: Server, begun: bytes, piece: bytes) -> None:
    before = server.megabytes()
    with server.connect() as connection:
        connection.sendall(CHUNKED + begun)
        n_sent = 0
        while _sent(connection, piece):
            n_sent += len(piece)
            assert n_sent < 64_000_000
    assert server.status("/") == 200
    assert server.megabytes() < before + 40


def test_a_body_in_the_smallest_pieces_is_taken(server: Server) -> None:
    pieces = b"".join(b"1\r\n%c\r\n" % letter for letter in b"code=" + b"A" * 20_000)
    with server.connect() as connection:
        for at in range(0, len(pieces), 4_000):
            connection.sendall((CHUNKED if at == 0 else b"") + pieces[at : at + 4_000])
        connection.sendall(b"0\r\n\r\n")
        assert status_of(connection) == 403


def test_a_large_head_in_one_piece_is_refused_in_words(server: Server) -> None:
    head = b"GET / HTTP/1.1\r\nhost: localhost\r\n" + b"x: " + b"y" * 40_000 + b"\r\n\r\n"
    with server.connect() as connection:
        connection.sendall(head)
        assert status_of(connection) == 431


def test_requests_without_end_on_one_connection_are_refused(server: Server) -> None:
    with server.connect() as connection:
        connection.sendall(b"GET /join HTTP/1.1\r\nhost: localhost\r\n\r\n" * 2000)
        said = b""
        while piece := _received(connection):
            said += piece
    assert said.count(b"HTTP/1.1 429 ") <= 1
    assert said.count(b"HTTP/1.1 200 ") <= 10
    assert server.status("/") == 200


def _sent(connection: socket.socket, data: bytes) -> bool:
    try:
        connection.sendall(data)
    except ConnectionError:
        return False
    return True


def _received(connection: socket.socket) -> bytes:
    try:
        return connection.recv(65536)
    except ConnectionError:
        return b""


def test_more_files_are_asked_for_at_the_start() -> None:
    code = (
        "import resource; resource.setrlimit(resource.RLIMIT_NOFILE, (256, 4000));"
        "from tarebook.web.limits import raise_open_files; print(raise_open_files(),"
        "resource.getrlimit(resource.RLIMIT_NOFILE))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "4000 (4000, 4000)"
    assert raise_open_files() == resource.getrlimit(resource.RLIMIT_NOFILE)[1]


def test_a_class_behind_one_address_has_room_on_every_machine() -> None:
    for files in (256, 512, 1024, 4096, 20_000, 1 << 20):
        limits = limits_for(files)
        assert limits.of_address >= 120
        # What one address may take leaves room for others.
        assert limits.connections - limits.of_address >= limits.connections // 8


def test_the_door_counts_on_every_system(room: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """The other loop of Windows accepts connections without asking the door."""
    connections = Connections(limits_for(FILES_UNKNOWN))
    config = _config(
        room.app, room.workspace, Settings(port=8420, shares=True), "192.0.2.1", connections
    )
    monkeypatch.setattr(sys, "platform", "win32")
    assert config.get_loop_factory() is asyncio.SelectorEventLoop
    # What select bears there, with those that are leaving.
    assert 120 <= connections.limits.of_address < connections.limits.connections + SLACK < 512


class Pairs:
    """Connections whose other end is kept, and a clock that is set."""

    def __init__(self, limits: Limits) -> None:
        self.now = 0.0
        self.connections = Connections(limits, clock=lambda: self.now)
        self.ends: list[socket.socket] = []

    def come(self, address: str) -> tuple[bool, socket.socket]:
        """Let one come in; return whether it was taken, and its far end."""
        near, far = socket.socketpair()
        self.ends += [near, far]
        return self.connections.take(near, address), far

    def state(self, far: socket.socket, state: State) -> None:
        near = self.ends[self.ends.index(far) - 1]
        known = self.connections.of(near.fileno())
        assert known is not None
        self.connections.enter(known, state)

    def is_open(self, far: socket.socket) -> bool:
        far.setblocking(False)
        try:
            return far.recv(1) != b""
        except BlockingIOError:
            return True


@pytest.fixture
def pairs() -> Iterator[Pairs]:
    made = Pairs(Limits(connections=6, of_address=4, threads=4))
    yield made
    for end in made.ends:
        end.close()


def test_who_has_sent_nothing_gives_way_before_who_was_answered(pairs: Pairs) -> None:
    far = []
    for number in range(4):
        pairs.now = float(number)
        far.append(pairs.come("192.0.2.1")[1])
    pairs.state(far[0], State.IDLE)
    pairs.state(far[1], State.BUSY)
    assert pairs.come("192.0.2.1")[0]
    assert [pairs.is_open(one) for one in far] == [True, True, False, True]


def test_the_address_with_most_gives_way(pairs: Pairs) -> None:
    one = pairs.come("192.0.2.1")[1]
    pairs.now = 1.0
    many = [pairs.come("192.0.2.2")[1] for _ in range(4)]
    pairs.come("192.0.2.3")
    pairs.now = 2.0
    assert pairs.come("192.0.2.4")[0]
    assert pairs.is_open(one)
    assert sum(pairs.is_open(other) for other in many) == 3


def test_who_sends_no_body_gives_way_before_who_was_answered(pairs: Pairs) -> None:
    far = [pairs.come("192.0.2.1")[1] for _ in range(4)]
    for one in far[:2]:
        pairs.state(one, State.SENDING)
    for one in far[2:]:
        pairs.state(one, State.IDLE)
    # A delivery that has just begun is let finish, as long as another connection waits.
    pairs.now = 1.0
    came, new = pairs.come("192.0.2.1")
    assert came
    assert [pairs.is_open(one) for one in far] == [True, True, False, True]
    pairs.state(new, State.BUSY)
    pairs.now = 10.0
    assert pairs.come("192.0.2.1")[0]
    assert [pairs.is_open(one) for one in far] == [False, True, False, True]


def test_where_all_send_bodies_the_oldest_gives_way(pairs: Pairs) -> None:
    far = [pairs.come("192.0.2.1")[1] for _ in range(4)]
    for one in far:
        pairs.state(one, State.SENDING)
    assert pairs.come("192.0.2.1")[0]
    assert [pairs.is_open(one) for one in far] == [False, True, True, True]


def test_an_address_takes_no_more_than_its_share_while_there_is_room(pairs: Pairs) -> None:
    other = pairs.come("192.0.2.2")[1]
    own = []
    for number in range(5):
        pairs.now = 1.0 + number
        own.append(pairs.come("192.0.2.1")[1])
    assert [pairs.is_open(one) for one in own] == [False, True, True, True, True]
    assert pairs.is_open(other)


def test_nobody_who_is_being_answered_gives_way(pairs: Pairs) -> None:
    far = [pairs.come("192.0.2.1")[1] for _ in range(4)]
    for one in far:
        pairs.state(one, State.BUSY)
    assert not pairs.come("192.0.2.1")[0]
    assert pairs.come("192.0.2.2")[0]
    assert all(pairs.is_open(one) for one in far)


@pytest.mark.parametrize(
    ("state", "seconds"), [(State.OPENING, 15), (State.SENDING, 60), (State.IDLE, 80)]
)
def test_each_state_has_its_time(pairs: Pairs, state: State, seconds: float) -> None:
    _, far = pairs.come("192.0.2.1")
    pairs.state(far, state)
    pairs.now = seconds - 0.1
    pairs.connections.sweep()
    assert pairs.is_open(far)
    pairs.now = seconds + 0.1
    pairs.connections.sweep()
    assert not pairs.is_open(far)


def test_answers_that_nobody_takes_are_given_up(pairs: Pairs) -> None:
    ends = [pairs.come("192.0.2.1") for _ in range(3)]
    sizes = [30 << 20, 50 << 20, 10]
    for (_, far), size in zip(ends, sizes, strict=True):
        pairs.state(far, State.BUSY)
        known = pairs.connections.of(pairs.ends[pairs.ends.index(far) - 1].fileno())
        assert known is not None
        known.unsent = lambda size=size: size  # type: ignore[misc]  # bound now
    pairs.connections.sweep()
    assert [pairs.is_open(far) for _, far in ends] == [True, False, True]
    pairs.now = 61.0
    pairs.connections.sweep()
    assert [pairs.is_open(far) for _, far in ends] == [False, False, False]


def test_where_few_are_left_they_come_in_slowly(pairs: Pairs) -> None:
    """Somebody whose connections give way opened others at once, and all time went into that."""
    for _ in range(4):
        assert not pairs.connections.is_too_soon()
        assert pairs.come("192.0.2.1")[0]
    n_let_in = 0
    for tick in range(10_000):
        pairs.now = 1.0 + tick / 10_000
        if not pairs.connections.is_too_soon():
            n_let_in += pairs.come("192.0.2.1")[0]
    assert n_let_in == pytest.approx(LET_IN_A_SECOND, rel=0.05)


def test_those_that_are_there_have_their_turn_between_those_that_come() -> None:
    async def lesson() -> None:
        with Door(Connections(limits_for(4096))) as door, contextlib.ExitStack() as stack:
            door.setblocking(False)
            door.bind(("127.0.0.1", 0))
            door.listen(64)
            for _ in range(3 * IN_A_ROW):
                stack.enter_context(socket.create_connection(door.getsockname()))
            for _ in range(3):
                for _ in range(IN_A_ROW):
                    stack.enter_context(door.accept()[0])
                with pytest.raises(BlockingIOError):
                    door.accept()
                await asyncio.sleep(0)

    in_own_thread(lambda: asyncio.run(lesson()))


def line(words: str) -> logging.LogRecord:
    return logging.LogRecord("tarebook.web", logging.WARNING, "", 0, words, None, None)


def test_each_kind_of_line_is_told_once_a_minute_with_its_count() -> None:
    now = [0.0]
    seldom = Seldom(clock=lambda: now[0])
    assert [seldom.filter(line("one")) for _ in range(1000)] == [True] + [False] * 999
    assert seldom.filter(line("another"))
    now[0] = 60.0
    again = line("one")
    assert seldom.filter(again)
    assert again.left_out == 999  # type: ignore[attr-defined]  # set by the filter


def test_kinds_without_end_are_one_kind() -> None:
    seldom = Seldom(clock=lambda: 0.0)
    assert sum(seldom.filter(line(f"kind {number}")) for number in range(5000)) == 101


def test_to_be_stopped_while_somebody_waits_is_no_mistake(
    fault_reports: Path, tmp_path: Path
) -> None:
    """A report of a fault was written, as if the program had done something wrong."""
    try:
        raise asyncio.CancelledError
    except asyncio.CancelledError:
        error = sys.exc_info()
    record = logging.LogRecord("uvicorn.error", logging.ERROR, "", 0, "Exception", None, error)
    said = Sentences(str(tmp_path)).format(record)
    assert "stopped before a device had its answer" in said
    assert not [*tmp_path.glob("*fault*"), *fault_reports.iterdir()]


def test_the_file_of_the_log_is_bounded_and_the_owners(tmp_path: Path) -> None:
    path = tmp_path / "app.log"
    handler = OwnersFile(str(path), most_bytes=2000)
    for number in range(500):
        handler.emit(line(f"line {number} " + "x" * 50))
    handler.close()
    files = sorted(tmp_path.iterdir())
    assert [file.name for file in files] == ["app.log", "app.log.1"]
    assert all(file.stat().st_size <= 2000 for file in files)
    assert all(file.stat().st_mode & 0o077 == 0 for file in files)
    assert "line 499" in path.read_text()
