"""What one group sends keeps no other waiting, and fits into the memory of the server."""

from __future__ import annotations

import asyncio
import threading
import time
from collections.abc import Callable
from typing import Any

import anyio.to_thread
import pytest
from tests.own_thread import in_own_thread

from tarebook.api import bench
from tarebook.api.bench import group_record, receive
from tarebook.api.bench.group_record import MOST_LOOKED_AT
from tarebook.api.bench.views import MUCH
from tarebook.api.bench.workspace import LAG
from tarebook.records.fold import fold_run
from tarebook.web.limits import RECORDERS
from tarebook.web.sessions import Role, Session
from tarebook.web.shares import IN_HAND, LEAST, LONGEST, Shares
from tarebook.web.turns import MOST_THERE, MOST_WITH_TIME, TurnsMiddleware
from tarebook.web.work import has_time, in_thread


class Slow:
    """An app whose work ends when it is told to."""

    def __init__(self) -> None:
        self.begun: list[str] = []
        self.may_end = threading.Event()

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        await in_thread(self.work, scope["state"]["session"].group)

    def work(self, group: str) -> None:
        self.begun.append(group)
        assert self.may_end.wait(30)


async def ask(app: TurnsMiddleware, group: str, path: str, answers: list[int]) -> None:
    session = Session(role=Role.GROUP, group=group, key="k")
    scope = {
        "type": "http", "method": "GET", "path": path, "headers": [], "query_string": b"",
        "state": {"session": session}, "client": ("192.0.2.7", 1),
    }  # fmt: skip

    async def send(message: Any) -> None:
        if message["type"] == "http.response.start":
            answers.append(message["status"])

    async def nothing() -> Any:
        return {"type": "http.disconnect"}

    await app(scope, nothing, send)


async def until(holds: Callable[[], bool]) -> None:
    async with asyncio.timeout(30):
        while not holds():
            await asyncio.sleep(0.001)


def test_a_group_that_floods_keeps_nobody_waiting() -> None:
    async def flood() -> None:
        slow = Slow()
        app = TurnsMiddleware(slow)
        answers: list[int] = []
        most = MOST_THERE[Role.GROUP]
        tasks = [asyncio.create_task(ask(app, "1", "/api/series", answers)) for _ in range(500)]
        tasks += [asyncio.create_task(ask(app, "1", "/api/events", answers)) for _ in range(20)]
        await until(lambda: len(slow.begun) >= 2)
        tasks.append(asyncio.create_task(ask(app, "2", "/api/series", answers)))
        tasks.append(asyncio.create_task(ask(app, "1", "/results/file/report.pdf", answers)))
        await until(lambda: len(slow.begun) >= 4)
        # One question and one delivery of the flood at once, its report and others beside them.
        assert sorted(slow.begun) == ["1", "1", "1", "2"]
        assert answers == [429] * (500 - most)
        slow.may_end.set()
        await asyncio.gather(*tasks)
        assert len(slow.begun) == most + 20 + 2
        assert not app._of

    in_own_thread(lambda: asyncio.run(flood()))


def test_who_sends_slowly_keeps_nobody_waiting_in_the_own_group_either() -> None:
    """A phone that lost its network in mid request would else hold up all phones of its group."""

    async def lesson() -> None:
        there: list[str] = []
        lost = asyncio.Event()

        async def app(scope: Any, receive: Any, send: Any) -> None:
            if not there:
                there.append("slow")
                await lost.wait()
            await in_thread(there.append, "recorded")

        turns = TurnsMiddleware(app)
        slow = asyncio.create_task(ask(turns, "1", "/api/events", []))
        await until(lambda: there == ["slow"])
        await ask(turns, "1", "/api/events", [])
        assert there == ["slow", "recorded"]
        lost.set()
        await slow

    in_own_thread(lambda: asyncio.run(lesson()))


def test_a_group_that_used_up_its_share_rests_and_no_other_does() -> None:
    async def lesson() -> None:
        now = [0.0]
        shares = Shares(clock=lambda: now[0])
        done: list[str] = []

        async def app(scope: Any, receive: Any, send: Any) -> None:
            await in_thread(done.append, scope["state"]["session"].group)

        turns = TurnsMiddleware(app, shares)
        await ask(turns, "2", "/api/events", [])
        await ask(turns, "1", "/api/events", [])
        shares.use("1", 10.0)
        waits = asyncio.create_task(ask(turns, "1", "/api/events", []))
        for _ in range(20):
            await ask(turns, "2", "/api/events", [])
        assert done == ["2", "1"] + ["2"] * 20
        now[0] = 60.0
        await waits
        assert done[-1] == "1"

    in_own_thread(lambda: asyncio.run(lesson()))


def test_what_waits_for_the_disk_is_no_work() -> None:
    async def lesson() -> None:
        shares = Shares(clock=lambda: 0.0)

        async def app(scope: Any, receive: Any, send: Any) -> None:
            await in_thread(time.sleep, 0.3)

        turns = TurnsMiddleware(app, shares)
        for _ in range(3):
            await ask(turns, "1", "/api/events", [])
        assert shares.rest("1") == 0.0

    in_own_thread(lambda: asyncio.run(lesson()))


def test_readings_are_taken_while_all_other_threads_wait() -> None:
    """Forty groups that ask for a report at once keep no reading waiting."""

    async def lesson() -> None:
        anyio.to_thread.current_default_thread_limiter().total_tokens = 1
        slow, taken = Slow(), asyncio.Event()

        async def app(scope: Any, receive: Any, send: Any) -> None:
            if scope["path"] != "/api/events":
                await slow(scope, receive, send)
            else:
                await in_thread(int)
                taken.set()

        turns = TurnsMiddleware(app)
        report = asyncio.create_task(ask(turns, "1", "/results/file/report.pdf", []))
        await until(lambda: slow.begun == ["1"])
        async with asyncio.timeout(30):
            await ask(turns, "2", "/api/events", [])
        assert taken.is_set()
        slow.may_end.set()
        await report

    in_own_thread(lambda: asyncio.run(lesson()))


def test_with_many_deliveries_there_is_no_time_to_look_and_then_there_is_again() -> None:
    """Nothing is held back without need."""

    async def lesson() -> None:
        may_end, found = threading.Event(), []

        def work() -> None:
            found.append(has_time())
            assert may_end.wait(30)
            found.append(has_time())

        async def app(scope: Any, receive: Any, send: Any) -> None:
            await in_thread(work)

        turns = TurnsMiddleware(app)
        tasks = []
        for number in range(MOST_WITH_TIME + RECORDERS):
            tasks.append(asyncio.create_task(ask(turns, str(number), "/api/events", [])))
            there = min(number + 1, RECORDERS)
            await until(lambda there=there: len(found) == there)  # type: ignore[misc]
        # Those that have a thread count, and those that wait for one.
        (threads,) = turns._recorders.values()
        await until(lambda: threads.statistics().tasks_waiting == MOST_WITH_TIME)
        assert found == [True] * MOST_WITH_TIME + [False] * (RECORDERS - MOST_WITH_TIME)
        may_end.set()
        await asyncio.gather(*tasks)
        # The first that ended still had the whole crowd behind it; one that comes later has not.
        assert not found[RECORDERS]
        found.clear()
        await ask(turns, "later", "/api/events", [])
        assert found == [True, True]

    in_own_thread(lambda: asyncio.run(lesson()))


def test_each_group_has_the_same_share_and_a_lone_one_all() -> None:
    now = [0.0]
    shares = Shares(clock=lambda: now[0])
    shares.ask("1")
    shares.use("1", IN_HAND + 0.25)
    assert shares.rest("1") == pytest.approx(0.25)
    shares.ask("2")
    assert shares.rest("1") == pytest.approx(0.5)
    for group in range(100):
        shares.ask(str(group))
    # Never less than a few devices need, and who waits looks again soon.
    assert shares.rest("1") == LONGEST
    now[0] += 0.25 / LEAST + 0.001
    shares.ask("2")
    assert shares.rest("1") == 0.0
    assert shares.rest("2") == 0.0


def deliver(workspace: bench.Workspace, events: list[dict[str, Any]]) -> dict[str, Any]:
    """Record events of group 1 as the page does, in parts; return the last answer."""
    answers = [
        bench.record_events(workspace, "1", events[start : start + bench.MOST_EVENTS])
        for start in range(0, len(events), bench.MOST_EVENTS)
    ]
    return answers[-1]


def notes(new_event: Any, room: Any, count: int, length: int) -> list[dict[str, Any]]:
    texts = (f"{number} ".ljust(length, "n") for number in range(count))
    return [new_event("1", "note", text, repeat=1 + n % 90) for n, text in enumerate(texts)]


def test_notes_of_a_group_have_an_end_and_readings_go_on(
    alone: Any, new_event: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(receive, "MOST_OF_NOTES", 10_000)
    alone.open("/bench")
    sent = notes(new_event, alone, 12, 1_000)
    reading = new_event("1", "tare_g", "15.790")
    answer = alone.send(*sent, reading).json()
    assert len(answer["acknowledged"]) == 11
    assert reading["id"] in answer["acknowledged"]
    assert {one["id"] for one in answer["refused"]} == {one["id"] for one in sent[10:]}
    assert "at most 10,000" in answer["refused"][0]["message"]
    # What was taken is acknowledged again; what would be too much is refused again.
    assert len(alone.send(*sent).json()["acknowledged"]) == 10


def test_all_that_a_group_sends_has_an_end(
    alone: Any, new_event: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(receive, "MOST_CHARACTERS", 1_000)
    alone.open("/bench")
    sent = [
        new_event(str(n % 8 + 1), "minutes", "9", repeat=n // 8 + 1, who="w" * 180)
        for n in range(10)
    ]
    answer = alone.send(*sent).json()
    assert 1 <= len(answer["acknowledged"]) <= 5
    assert len(answer["acknowledged"]) + len(answer["refused"]) == 10
    assert "paper" in answer["refused"][0]["do"]


def test_an_answer_never_holds_more_than_the_bounds_allow(alone: Any, new_event: Any) -> None:
    """Notes to the limit: the answer was 307 MB; now each character stands in it thrice or so."""
    workspace: bench.Workspace = alone.client.app.app.state.workspace
    while True:
        sent = notes(new_event, alone, 12, 5_000)
        done = bench.record_events(workspace, "1", sent)
        if done["refused"]:
            break
    assert workspace.of_group("1").n_of_notes == receive.MOST_OF_NOTES
    answer = alone.get("/api/series")
    assert receive.MOST_OF_NOTES < len(answer.content) < 4 * receive.MOST_OF_NOTES


def test_a_long_series_comes_in_pages_that_hold_all_of_it(alone: Any, new_event: Any) -> None:
    workspace: bench.Workspace = alone.client.app.app.state.workspace
    for run in range(1, 14):
        sent = [new_event(str(run), "minutes", "9", repeat=n % 90 + 1) for n in range(150)]
        assert not deliver(workspace, sent)["refused"]
    pages = [alone.get("/api/series").json()]
    while (begin := pages[-1]["next"]) is not None:
        pages.append(alone.get("/api/series", params={"begin": begin}).json())
    assert len(pages) == 7
    assert all(sum(len(run["readings"]) for run in page["runs"]) <= MUCH for page in pages)
    runs = [run["run"] for page in pages for run in page["runs"]]
    assert runs == [str(run) for run in range(1, 14)]
    assert sum(len(run["readings"]) for page in pages for run in page["runs"]) == 13 * 150


def test_an_answer_to_a_delivery_has_room_for_some_runs_and_says_of_others(
    alone: Any, new_event: Any
) -> None:
    workspace: bench.Workspace = alone.client.app.app.state.workspace
    for run in range(1, 11):
        sent = [new_event(str(run), "minutes", "9", repeat=n % 90 + 1) for n in range(150)]
        assert not deliver(workspace, sent)["more"]
    done = bench.record_events(
        workspace, "1", [new_event(str(run), "tare_g", "15.79") for run in range(1, 11)]
    )
    assert len(done["acknowledged"]) == 10
    assert done["more"]
    assert 1 <= len(done["runs"]) < 10


def n_read(workspace: bench.Workspace) -> int:
    """Return for how many readings those stand that the results of group 1 rest on."""
    return sum(reading.times for reading in workspace.of_group("1").table.readings)


def test_a_run_with_too_many_entries_is_said_to_be_so_and_loses_nothing(
    alone: Any, new_event: Any
) -> None:
    workspace: bench.Workspace = alone.client.app.app.state.workspace
    sent = [new_event("1", "tare_g", "15.79", repeat=n % 90 + 1) for n in range(MOST_LOOKED_AT)]
    (run,) = deliver(workspace, sent)["runs"]
    assert run["next"] is not None
    assert "too-many-entries" not in {one["code"] for one in run["said"]}
    last = new_event("1", "diluent_mL", "34.5")
    (run,) = bench.record_events(workspace, "1", [last])["runs"]
    assert [one["code"] for one in run["said"]] == ["too-many-entries"]
    assert "201 entries" in run["said"][0]["message"]
    assert len(run["readings"]) == MOST_LOOKED_AT
    assert last["id"] in {one["id"] for one in run["readings"]}
    assert n_read(workspace) == MOST_LOOKED_AT + 1


def test_results_do_not_go_through_a_crowded_run_with_each_question(
    workspace: bench.Workspace, new_event: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All pages of the class ask every few seconds, and each waited for the flood of one group."""
    now = [100.0]
    workspace.clock = lambda: now[0]
    folded: list[str] = []

    def counted(run: str, *rest: Any) -> Any:
        folded.append(run)
        return fold_run(run, *rest)

    monkeypatch.setattr(group_record, "fold_run", counted)
    sent = [new_event("1", "tare_g", "15.79", repeat=n % 90 + 1) for n in range(MOST_LOOKED_AT)]
    deliver(workspace, sent)
    folded.clear()
    for number in range(20):
        now[0] += 0.4
        bench.record_events(workspace, "1", [new_event("1", "diluent_mL", f"{number}")])
        bench.progress(workspace)
    assert folded == ["1"]
    # Nothing is lost for that: in the end all of it counts, and the sheet has it at once.
    assert n_read(workspace) == MOST_LOOKED_AT + 20
    now[0] += LAG
    assert workspace.for_results("1") is workspace.of_group("1")
