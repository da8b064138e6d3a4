"""The count of wrong codes: by address, in all, and for many tries at the same moment."""

from __future__ import annotations

import threading
from typing import Any

import pytest

from tarebook.web.tries import SECRET, Tries


def test_a_try_counts_from_the_moment_it_begins() -> None:
    """Else many that begin before the first has ended would all be let through."""
    tries = Tries(of_one=3, clock=lambda: 0.0)
    assert [tries.begin("192.0.2.1", SECRET) for _ in range(4)] == [0, 0, 0, 60]
    tries.right("192.0.2.1", SECRET)
    assert tries.begin("192.0.2.1", SECRET) == 0
    assert tries.begin("192.0.2.1", SECRET) == 60


def test_a_right_code_leaves_no_trace_in_the_count_of_all() -> None:
    tries = Tries(of_one=3, of_all=5, clock=lambda: 0.0)
    for number in range(50):
        assert tries.begin(f"192.0.2.{number}", "RIGHT") == 0
        tries.right(f"192.0.2.{number}", "RIGHT")
    waits = [tries.begin(f"198.51.100.{n // 2}", f"WRONG{n}") for n in range(8)]
    # The second of an address waits once all together were too many; its first never.
    assert waits == [0] * 5 + [60, 0, 60]


def test_the_same_wrong_code_is_counted_once() -> None:
    """A class behind one address reads the wrong code from the board; a guesser types others."""
    tries = Tries(of_one=3, of_all=5, clock=lambda: 0.0)
    assert [tries.begin("192.0.2.1", "WRONG1") for _ in range(120)] == [0] * 120
    assert [tries.begin("192.0.2.1", f"WRONG{n}") for n in (2, 3, 4)] == [0, 0, 60]
    assert tries.begin("192.0.2.1", "WRONG1") == 0


def test_secrets_count_for_their_address_alone() -> None:
    tries = Tries(of_one=3, of_all=5, clock=lambda: 0.0)
    for place in range(10):
        waits = [tries.begin(f"192.0.2.{place}", SECRET) for _ in range(4)]
        assert waits == [0, 0, 0, 60]


def test_whoever_waits_does_not_wait_longer_for_trying() -> None:
    now = [0.0]
    tries = Tries(of_one=2, clock=lambda: now[0])
    for second in range(60):
        now[0] = float(second)
        tries.begin("192.0.2.1", f"WRONG{second}")
    now[0] = 61.0
    assert tries.begin("192.0.2.1", "WRONG") == 0


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("2001:db8:0:1::1", "2001:db8:0:1:ffff:ffff:ffff:ffff", True),
        ("2001:db8:0:1::1", "2001:db8:0:2::1", False),
        ("fe80::1%eth0", "fe80::2%eth1", True),
        ("::ffff:192.0.2.1", "192.0.2.1", True),
        ("::ffff:192.0.2.1", "::ffff:192.0.2.2", False),
        ("192.0.2.1", "192.0.2.2", False),
    ],
)
def test_one_device_has_one_count_whatever_addresses_it_takes(
    one: str, other: str, *, same: bool
) -> None:
    """RFC 4291, 2.5.1: the last 64 bits of an address are the device's own to choose."""
    tries = Tries(of_one=1, clock=lambda: 0.0)
    assert tries.begin(one, "WRONG1") == 0
    assert (tries.begin(other, "WRONG2") > 0) is same


def test_addresses_without_end_do_not_fill_the_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Tries, "MOST_ADDRESSES", 10)
    tries = Tries(clock=lambda: 0.0)
    for number in range(1000):
        tries.begin(f"10.0.{number // 256}.{number % 256}", "RIGHT")
        tries.right(f"10.0.{number // 256}.{number % 256}", "RIGHT")
    assert len(tries._by_address) == 10


def test_secrets_tried_at_the_same_moment_are_counted_too(room: Any) -> None:
    browsers = [room.browser("192.0.2.9") for _ in range(30)]
    for browser in browsers:
        browser.open("/join")
    answers: list[int] = []

    def guess(browser: Any) -> None:
        answers.append(browser.form("/enter", secret="not this one").status_code)

    threads = [threading.Thread(target=guess, args=(browser,)) for browser in browsers]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(answers) == [403] * 10 + [429] * 20


def test_a_form_from_elsewhere_does_not_end_a_session(room: Any) -> None:
    """A browser sends no cookie with it (SameSite=Lax), but would keep the one of the answer."""
    stranger = room.browser()
    for path in ("/leave", "/join", "/enter", "/groups", "/groups/share"):
        answer = stranger.client.post(path, data={"csrf": "0" * 64})
        assert answer.status_code in (401, 403)
        assert "set-cookie" not in answer.headers
    assert "set-cookie" in stranger.get("/join").headers
