"""What one group sends keeps no other waiting, and fits into the memory of the server."""

from __future__ import annotations

import asyncio
from typing import Any

import pytest
from tests.own_thread import in_own_thread

from tarebook.api import bench
from tarebook.api.bench import receive
from tarebook.web.sessions import Role, Session
from tarebook.web.turns import AT_ONCE, WAITING, TurnsMiddleware


class Slow:
    """An app that answers when it is told to."""

    def __init__(self) -> None:
        self.there: list[str] = []
        self.may_end = asyncio.Event()

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        self.there.append(scope["state"]["session"].group)
        await self.may_end.wait()


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


def test_a_group_that_floods_keeps_nobody_waiting() -> None:
    async def flood() -> None:
        slow = Slow()
        app = TurnsMiddleware(slow)
        answers: list[int] = []
        most = AT_ONCE[Role.GROUP]
        tasks = [asyncio.create_task(ask(app, "1", "/api/series", answers)) for _ in range(500)]
        tasks.append(asyncio.create_task(ask(app, "2", "/api/series", answers)))
        tasks.append(asyncio.create_task(ask(app, "1", "/api/events", answers)))
        tasks.append(asyncio.create_task(ask(app, "1", "/results/file/report.pdf", answers)))
        while len(slow.there) < most + 3:
            await asyncio.sleep(0)
        # Four of the flood at once; the other group, and readings of its own, beside them.
        assert slow.there == ["1"] * most + ["2", "1", "1"]
        assert answers == [429] * (500 - most * (1 + WAITING))
        slow.may_end.set()
        await asyncio.gather(*tasks)
        assert len(slow.there) == most * (1 + WAITING) + 3
        assert not app._of

    in_own_thread(lambda: asyncio.run(flood()))


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
