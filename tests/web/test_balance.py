"""A balance on a serial port, played by a pseudo terminal."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tarebook.api.bench import BalancePort, LineFormatError, NoPortError
from tarebook.api.bench.balance import LineReader

pty = pytest.importorskip("pty")


def wait_for(true: Callable[[], bool], seconds: float = 10.0) -> None:
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "it did not come"
        time.sleep(0.01)


@pytest.fixture
def line() -> Iterator[tuple[int, str]]:
    """Both ends of a serial line: where the balance writes, and the name of the port."""
    ours, theirs = pty.openpty()
    yield ours, os.ttyname(theirs)
    for end in (ours, theirs):
        os.close(end)


def test_lines_that_come_in_pieces_are_whole_readings(line: tuple[int, str]) -> None:
    ours, name = line
    port = BalancePort(name)
    try:
        for piece in (b"S S     52", b".310 g", b"\r", b"\n", b"N  +   0.0", b"05 g\r\nS D "):
            os.write(ours, piece)
            time.sleep(0.05)
        wait_for(lambda: port.since(0)["last"] == 2)
        given_ = port.since(0)
        assert given_["connected"]
        assert [one["typed"] for one in given_["readings"]] == ["52.310 g", "+0.005 g"]
        assert [one["n"] for one in port.since(1)["readings"]] == [2]
        os.write(ours, b"   1500 mg\n")
        wait_for(lambda: port.since(0)["last"] == 3)
        assert port.since(2)["readings"][0]["typed"] == "1500 mg"
    finally:
        port.close()


def test_a_port_that_is_not_there_says_so() -> None:
    with pytest.raises(NoPortError, match="switched on and plugged in"):
        BalancePort("/dev/no-such-balance")


def test_a_port_that_goes_away_is_said_and_nothing_is_lost(line: tuple[int, str]) -> None:
    ours, theirs = pty.openpty()
    port = BalancePort(os.ttyname(theirs))
    try:
        os.write(ours, b"1.5 g\r\n")
        wait_for(lambda: port.since(0)["last"] == 1)
        os.close(ours)
        os.close(theirs)
        wait_for(lambda: not port.since(0)["connected"])
        assert port.since(0)["last"] == 1
    finally:
        port.close()


@pytest.mark.parametrize(
    ("pattern", "sent", "found"),
    [
        (r"W=(?P<number>\d+\.\d+)", b"W=12.50;T=0\n", ["12.50 g"]),
        (r"(?P<number>[0-9,]+) (?P<unit>kg)", b"0,0125 kg stable\r", ["0,0125 kg"]),
        (r"(?P<number>[a-z]+)", b"overload\n", []),
    ],
)
def test_lines_of_other_balances(pattern: str, sent: bytes, found: list[str]) -> None:
    assert LineReader(pattern).feed(sent) == found


@pytest.mark.parametrize("pattern", ["(", "no group", "(?P<mass>x)"])
def test_patterns_that_cannot_be_used(pattern: str) -> None:
    with pytest.raises(LineFormatError, match="group called number"):
        LineReader(pattern)


@given(st.lists(st.binary(max_size=50), max_size=20))
def test_any_bytes_are_borne(pieces: list[bytes]) -> None:
    reader = LineReader()
    for piece in pieces:
        for typed in reader.feed(piece):
            assert typed.split()[-1] in ("g", "mg", "kg")


@given(st.lists(st.integers(1, 7), max_size=40), st.sampled_from([b"\r\n", b"\n", b"\r"]))
def test_cutting_a_stream_anywhere_gives_the_same_readings(cuts: list[int], end: bytes) -> None:
    stream = end.join([b"S   52.310 g", b"S    0.005 g", b"?", b"+ 1,500 g", b""])
    whole = LineReader().feed(stream)
    reader, pieces, start = LineReader(), [], 0
    for cut in cuts:
        pieces += reader.feed(stream[start : start + cut])
        start += cut
    pieces += reader.feed(stream[start:])
    assert pieces == whole == ["52.310 g", "0.005 g", "+1,500 g"]


def test_the_bench_page_gets_what_the_balance_shows(line: tuple[int, str], workspace: Any) -> None:
    from starlette.testclient import TestClient

    from tarebook.web.app import build_app
    from tarebook.web.settings import Settings

    ours, name = line
    port = BalancePort(name)
    try:
        app = build_app(workspace, Settings(port=8420, balance=name), balance=port)
        client = TestClient(app, base_url="http://localhost:8420", client=("127.0.0.1", 50000))
        os.write(ours, b"  15.790 g\r\n")
        wait_for(lambda: client.get("/api/balance").json()["last"] == 1)
        (one,) = client.get("/api/balance").json()["readings"]
        assert one["typed"] == "15.790 g"
        assert client.get("/api/balance", params={"after": "1"}).json()["readings"] == []
        far = TestClient(app, base_url="http://localhost:8420", client=("192.0.2.9", 50000))
        assert far.get("/api/balance").status_code == 403
    finally:
        port.close()
