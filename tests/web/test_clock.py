"""The clock of the computer is set while a lesson runs."""

from __future__ import annotations

import time

import pytest

from tarebook.web import steady

from .conftest import Room


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


def test_a_session_signed_before_the_clock_was_set_back_counts_when_the_app_begins_again(
    room: Room, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone = room.group("1")
    real = time.time
    with monkeypatch.context() as begun_again:
        begun_again.setattr(time, "time", lambda: real() - 48 * 3600)
        clock = steady.SteadyClock()
    monkeypatch.setattr("tarebook.web.sessions.CLOCK", clock)
    assert phone.get("/api/series").status_code == 200


def test_a_session_ends_after_a_day_of_work(room: Room, monkeypatch: pytest.MonkeyPatch) -> None:
    phone = room.group("1")
    counted = steady._counted
    monkeypatch.setattr(steady, "_counted", lambda: counted() + 17 * 3600)
    assert phone.get("/api/series").status_code == 401
