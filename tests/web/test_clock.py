"""The clock of the computer is set while a lesson runs."""

from __future__ import annotations

import time

import pytest

from tarebook.web import steady
from tarebook.web.app import build_app
from tarebook.web.settings import Settings

from .conftest import Browser, Room


@pytest.mark.parametrize("hours", [-48.0, -0.1, 48.0])
def test_a_clock_that_is_set_ends_no_session(
    room: Room, hours: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone = room.group("1")
    # The phone has a clock of its own, which stays as it is.
    (cookie,) = (one for one in phone.client.cookies.items() if not one[0].endswith("_held"))
    phone.client.cookies.clear()
    headers = {"cookie": "=".join(cookie)}
    assert phone.get("/api/series").status_code == 401
    real = time.time
    monkeypatch.setattr(time, "time", lambda: real() + hours * 3600)
    assert phone.get("/api/series", headers=headers).status_code == 200


def _begun_again(room: Room, phone: Browser) -> int:
    """Begin the app again; return what becomes of a request of a phone that had joined."""
    (cookie,) = (one for one in phone.client.cookies.items() if not one[0].endswith("_held"))
    settings = Settings(port=8420, shares=True, https=False, address="http://bench.test:8420")
    again = Room(room.workspace, build_app(room.workspace, settings), "", room.tries, room.now)
    answer = again.browser().get("/api/series", headers={"cookie": "=".join(cookie)})
    return answer.status_code


@pytest.mark.parametrize("hours", [-48.0, 48.0, 24 * 365.0])
def test_a_clock_that_was_set_before_the_app_began_again_ends_no_session(
    room: Room, hours: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone = room.group("1")
    real = time.time
    monkeypatch.setattr(time, "time", lambda: real() + hours * 3600)
    assert _begun_again(room, phone) == 200


def test_a_session_ends_after_a_day_of_work_also_if_the_app_began_again(
    room: Room, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone = room.group("1")
    counted = steady._counted
    monkeypatch.setattr(steady, "_counted", lambda: counted() + 17 * 3600)
    # However the clock was set meanwhile.
    real = time.time
    monkeypatch.setattr(time, "time", lambda: real() - 48 * 3600)
    assert _begun_again(room, phone) == 401


def test_a_machine_that_was_switched_off_goes_by_its_clock(
    room: Room, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone = room.group("1")
    monkeypatch.setattr(steady, "_boot", lambda: "another start")
    monkeypatch.setattr(steady, "_counted", lambda: 60.0)
    assert _begun_again(room, phone) == 200
    real = time.time
    monkeypatch.setattr(steady, "_boot", lambda: "a third one")
    monkeypatch.setattr(time, "time", lambda: real() + 17 * 3600)
    assert _begun_again(room, phone) == 401


@pytest.mark.parametrize("spoilt", ["", "{", "[]", "{}", '{"boot": "", "made": "x"}'])
def test_a_spoilt_note_of_the_clock_does_no_harm(room: Room, spoilt: str) -> None:
    phone = room.group("1")
    note = room.workspace.access.place / steady.FILE
    assert note.exists()
    note.write_text(spoilt, encoding="utf-8")
    assert _begun_again(room, phone) == 200


def test_a_session_ends_after_a_day_of_work(room: Room, monkeypatch: pytest.MonkeyPatch) -> None:
    phone = room.group("1")
    counted = steady._counted
    monkeypatch.setattr(steady, "_counted", lambda: counted() + 17 * 3600)
    assert phone.get("/api/series").status_code == 401
