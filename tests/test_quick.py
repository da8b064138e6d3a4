"""A test of the quick part that takes long or starts a program is refused."""

from __future__ import annotations

import socket
import subprocess
import sys
from collections.abc import Iterator

import pytest
from tests import quick

Refused = pytest.fail.Exception


@pytest.fixture
def as_quick(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Take what follows for a test of the quick part."""
    monkeypatch.setattr(quick, "is_quick", lambda _: True)
    quick.ALONE.test = "a test"
    yield
    quick.ALONE.test = ""


def test_a_quick_test_starts_no_program(as_quick: None) -> None:
    with pytest.raises(Refused, match="mark it"):
        subprocess.run([sys.executable, "-c", "pass"], check=True)


def test_a_quick_test_listens_nowhere(as_quick: None) -> None:
    with socket.socket() as listening, pytest.raises(Refused, match="mark it"):
        listening.bind(("127.0.0.1", 0))


def test_others_may_start_programs() -> None:
    subprocess.run([sys.executable, "-c", "pass"], check=True)


@pytest.mark.parametrize(("seconds", "refused"), [(quick.LONGEST - 0.1, False), (4.1, True)])
def test_a_quick_test_takes_no_time(
    as_quick: None,
    request: pytest.FixtureRequest,
    seconds: float,
    refused: bool,
) -> None:
    clock = iter([100.0, 100.0 + seconds])
    held = quick.held_to_its_time(request.node, lambda: next(clock))
    next(held)
    if refused:
        with pytest.raises(Refused, match="mark it"):
            held.send(None)
    else:
        with pytest.raises(StopIteration):
            held.send(None)


def test_this_one_is_not_quick_and_one_of_the_chemistry_is(request: pytest.FixtureRequest) -> None:
    assert not quick.is_quick(request.node)
    there = {folder.name for folder in quick.FOLDERS if any(folder.rglob("*.py"))}
    assert there == {*quick.PACKAGES, "published"}, "every folder that is named is there"
