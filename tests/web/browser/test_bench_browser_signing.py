"""A phone signs what it records, on plain http too; what it signed offline is signed as of then."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from click.testing import CliRunner

from tarebook import cli
from tarebook.api.open_record import open_log
from tarebook.records.events import DEVICE_KEY
from tarebook.records.signature import is_signed

Device = Callable[..., Any]


@pytest.mark.parametrize("kind", ["alone", "room"])
def test_every_event_of_a_phone_is_signed_also_what_waited(
    kind: str, request: pytest.FixtureRequest, device: Device
) -> None:
    site = request.getfixturevalue(kind)
    phone = device(site)
    if site.shares:
        phone.join()
    else:
        phone.open()
    phone.page.locator("#who").evaluate(
        "(it, who) => { it.value = who; it.dispatchEvent(new Event('change')); }",
        ' Zoë "Ω" \\ 文\u2028🧪',
    )
    phone.type("15,790")
    phone.settled()
    phone.context.set_offline(True)
    phone.type("34.5")
    phone.says("No connection. Go on recording. 1 reading waits on this phone.")
    phone.context.set_offline(False)
    phone.settled()
    assert phone.counting("1") == [("tare_g", "15.790"), ("diluent_mL", "34.5")]
    log = open_log(site.folder, mode="read")
    try:
        events = [one.event for one in log.events()]
    finally:
        log.close()
    name = phone.runs()["1"]["readings"][0]["device"]
    own = [event for event in events if event.device == name]
    (key,) = (event for event in own if event.column == DEVICE_KEY)
    assert key.who == phone.group
    assert [event.column for event in own] == ["key", "tare_g", "diluent_mL"]
    assert {event.signer for event in own} == {key.typed}
    assert all(is_signed(event) for event in own)
    said = CliRunner().invoke(cli.main, ["verify", str(site.folder)])
    assert said.exit_code == 0
    assert "Signed by the device that recorded them" in said.stdout


def test_what_an_older_page_kept_is_signed_before_it_is_sent(room: Any, device: Device) -> None:
    phone = device(room)
    phone.join()
    phone.settled()
    phone.context.set_offline(True)
    phone.type("15.790")
    phone.says("No connection. Go on recording. 1 reading waits on this phone.")
    # As a page kept it that had no key yet.
    phone.page.evaluate(
        """async () => {
            const { openStore } = await import('/static/bench/store.js');
            const store = await openStore();
            await store.change(async (at) => {
                for (const entry of await at.all()) {
                    const { signer, signature, ...event } = entry.event;
                    await at.put({ ...entry, event });
                }
            });
        }"""
    )
    phone.page.close()
    phone.context.set_offline(False)
    phone.page = phone.context.new_page()
    phone.open()
    phone.settled()
    assert phone.counting("1") == [("tare_g", "15.790")]
    log = open_log(room.folder, mode="read")
    try:
        last = log.events(group=phone.group)[-1].event
    finally:
        log.close()
    assert is_signed(last)
