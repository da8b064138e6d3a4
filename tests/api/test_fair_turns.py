"""Long work by turns: group after group, one job of a kind waiting, nothing lost at the end."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from concurrent.futures import Future
from pathlib import Path
from typing import Any

import pytest

from tarebook.api.bench.background import Background
from tarebook.api.bench.fair import FairQueue, Job, Turn


def job(group: str, number: int, kind: str | None = None) -> Job:
    return Job(Turn(group=group, kind=kind), int, (number,), {})


def order(queue: FairQueue) -> list[tuple[str, int]]:
    taken = []
    while (one := queue.take()) is not None:
        taken.append((one.turn.group, one.args[0]))
    return taken


def test_groups_take_turns_however_much_one_asks_for() -> None:
    queue = FairQueue()
    for number in range(4):
        queue.put(job("1", number))
    queue.put(job("2", 0))
    queue.put(job("3", 0))
    queue.put(job("2", 1))
    assert order(queue) == [
        ("1", 0), ("2", 0), ("3", 0), ("1", 1), ("2", 1), ("1", 2), ("1", 3),
    ]  # fmt: skip


def test_one_job_of_a_kind_waits_and_does_what_was_asked_last() -> None:
    queue = FairQueue()
    first = queue.put(job("1", 1, "report.pdf"))
    assert queue.put(job("1", 2, "report.pdf")) is first
    assert queue.put(job("2", 3, "report.pdf")) is not first
    assert queue.put(job("1", 4, "results.csv")) is not first
    assert order(queue) == [("1", 2), ("2", 3), ("1", 4)]


@pytest.fixture
def busy(tmp_path: Path) -> Iterator[tuple[Background, Path]]:
    """A process that waits until somebody writes into a pipe."""
    background = Background(workers=True)
    gate = tmp_path / "gate"
    os.mkfifo(gate)
    background.start(Path.read_text, gate)
    yield background, gate
    background.close()


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="waits at a pipe")
def test_sixty_reports_of_one_group_keep_another_waiting_for_one(
    busy: tuple[Background, Path],
) -> None:
    background, gate = busy
    ended: list[str] = []
    lock = threading.Lock()

    def note(group: str) -> Any:
        def noted(_: Future[int]) -> None:
            with lock:
                ended.append(group)

        return noted

    jobs = []
    for number in range(60):
        made = background.start_for(Turn(group="1", kind=number), int, str(number))
        made.add_done_callback(note("1"))
        jobs.append(made)
    other = background.start_for(Turn(group="2", kind=0), int, "7")
    other.add_done_callback(note("2"))
    gate.write_text("go on")
    assert other.result(timeout=60) == 7
    assert [one.result(timeout=60) for one in jobs] == list(range(60))
    assert ended.index("2") <= 1


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="waits at a pipe")
def test_who_asks_again_gets_what_the_other_gets(busy: tuple[Background, Path]) -> None:
    background, gate = busy
    turn = Turn(group="1", kind="report.pdf")
    asked = [background.start_for(turn, int, str(number)) for number in range(60)]
    assert len(set(asked)) == 1
    gate.write_text("go on")
    assert asked[0].result(timeout=60) == 59


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="waits at a pipe")
def test_what_waits_is_cancelled_at_the_end(busy: tuple[Background, Path]) -> None:
    background, _ = busy
    waiting = background.start_for(Turn(group="1"), int, "1")
    background.close()
    assert waiting.cancelled()
    assert background.start_for(Turn(group="1"), int, "1").cancelled()


def test_a_job_that_fails_lets_the_next_one_begin() -> None:
    background = Background(workers=True)
    try:
        failing = background.start(int, "no number")
        assert isinstance(failing.exception(timeout=60), ValueError)
        assert background.start(int, "1").result(timeout=60) == 1
    finally:
        background.close()
