"""The bench page as long as the server has not said what there is to read."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from playwright.sync_api import Route, expect

Device = Callable[..., Any]


@contextmanager
def held_up(phone: Any) -> Iterator[None]:
    """Open the bench of a phone, and let it have its series at the end of the block alone."""
    held: list[Route] = []
    phone.page.route("**/api/series*", lambda route: held.append(route))
    with phone.page.expect_request("**/api/series*"):
        phone.page.goto(f"{phone.site.address}/bench?group={phone.group}")
    expect(phone.page.locator("#work")).to_be_hidden()
    yield
    expect(phone.page.locator("#work")).to_be_hidden()
    for route in held:
        route.continue_()
    phone.page.unroute("**/api/series*")
    phone.page.wait_for_selector("#work:not([hidden])")


def test_enter_is_no_fault(alone: Any, device: Device) -> None:
    phone = device(alone)
    with held_up(phone):
        phone.page.keyboard.press("Enter")
        expect(phone.page.locator("#panel")).not_to_have_attribute("aria-busy", "true")
    expect(phone.page.locator("#fault")).to_be_empty()
    phone.type("15.790")
    phone.settled()
    assert phone.counting("1") == [("tare_g", "15.790")]


def test_the_balance_is_heard_afterwards(alone: Any, device: Device) -> None:
    phone = device(alone)
    shows = "**/api/balance*"
    with phone.page.expect_response(shows), held_up(phone):
        for _ in range(2):
            with phone.page.expect_response(shows):
                pass
        os.write(alone.balance, b"   11.111 g\r\n")
        phone.page.wait_for_timeout(2_500)
    assert phone.page.locator("#entry").input_value() == ""
    os.write(alone.balance, b"   15.790 g\r\n")
    expect(phone.page.locator("#entry")).to_have_value(re.compile(r"15\.790 g"))


def test_what_was_refused_is_typed_again_on_a_sheet_alone(alone: Any, device: Device) -> None:
    """Without one it would be forgotten, and there would be no place to type it."""
    phone = device(alone)
    phone.open()
    phone.type("15790000000")
    box = phone.page.get_by_role("group", name="Not recorded")
    expect(box).to_be_visible()
    phone.settled()
    phone.page.evaluate(
        """async (group) => {
            const { openStore } = await import('/static/bench/store.js');
            await (await openStore()).change((at) => at.keep(`series:${group}`, null));
        }""",
        phone.group,
    )
    again = box.get_by_role("button", name="Type it again")
    with held_up(phone):
        expect(box.get_by_role("button", name="Forget it")).to_be_visible()
        expect(again).to_have_count(0)
    again.tap()
    expect(phone.page.locator("#entry")).to_have_value("15790000000")
