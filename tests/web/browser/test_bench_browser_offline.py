"""The network drops, the page is reloaded, the server dies, the session ends: nothing is lost."""

from __future__ import annotations

import shutil
import signal
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

Device = Callable[..., Any]

EXAMPLES = Path(__file__).parents[3] / "examples"

CUP = (
    ("tare_g", "15.790"),
    ("diluent_mL", "34.5"),
    ("reagent_mL", "5.1"),
    ("temperature_C", "21.0"),
    ("vessel_liquid_g", "54.840"),
    ("sample_g", "1.488"),
    ("final_g", "56.210"),
    ("minutes", "9"),
)


@pytest.fixture(params=["alone", "safe_room", "room"])
def phone(request: pytest.FixtureRequest, device: Device) -> Any:
    """A phone at the bench: over localhost, over https, over plain http from a room address."""
    site = request.getfixturevalue(request.param)
    phone = device(site)
    if site.shares:
        phone.join()
    else:
        phone.open()
    return phone


def waits(phone: Any, count: int) -> None:
    """Wait until the page says how many readings wait on it."""
    noun = "1 reading waits" if count == 1 else f"{count} readings wait"
    phone.says(f"No connection. Go on recording. {noun} on this phone.")


def test_offline_in_the_middle_nothing_lost_nothing_doubled(phone: Any) -> None:
    """Where the browser allows it the page is even reloaded without a network."""
    secure = phone.page.evaluate("isSecureContext")
    assert secure == phone.site.address.startswith(("http://localhost", "https://"))
    for _, text in CUP[:3]:
        phone.type(text)
    phone.settled()
    if secure:
        phone.worker_is_ready()
    phone.context.set_offline(True)
    for _, text in CUP[3:6]:
        phone.type(text)
    waits(phone, 3)
    if secure:
        phone.page.reload()
        phone.asks("polypropylene cup at the end")
        waits(phone, 3)
        phone.page.close()
        phone.page = phone.context.new_page()
        query = "" if phone.site.shares else f"?group={phone.group}"
        phone.page.goto(f"{phone.site.address}/bench/1{query}")
        waits(phone, 3)
    else:
        assert phone.page.evaluate("'serviceWorker' in navigator") is False
        assert phone.page.evaluate("typeof crypto.randomUUID") == "undefined"
    phone.asks("polypropylene cup at the end")
    expect(phone.page.locator("#step-sample_g .value")).to_contain_text("not sent yet")
    phone.type("56.210")
    waits(phone, 4)
    phone.context.set_offline(False)
    phone.settled()
    phone.type("9")
    phone.asks("Run 1 is complete")
    phone.settled()
    readings = phone.runs()["1"]["readings"]
    assert [(r["quantity"], r["number"]) for r in readings] == list(CUP)
    assert all(r["current"] for r in readings)
    # In the order in which they were recorded, too.
    received = [r["received_at"] for r in readings]
    assert received == sorted(received)


def test_what_waits_survives_a_closed_page_on_plain_http(room: Any, device: Device) -> None:
    """Without a service worker the page needs the network to open; what waits does not."""
    phone = device(room)
    phone.join()
    phone.context.set_offline(True)
    phone.type("15.790")
    waits(phone, 1)
    phone.page.close()
    phone.context.set_offline(False)
    phone.page = phone.context.new_page()
    phone.open()
    phone.settled()
    assert phone.counting("1") == [("tare_g", "15.790")]


def test_the_range_is_checked_without_a_network(alone: Any, device: Device) -> None:
    phone = device(alone)
    phone.open()
    phone.type("15.790")
    phone.settled()
    phone.context.set_offline(True)
    phone.type("43.5")
    question = phone.page.locator("#step-diluent_mL .question")
    expect(question).to_contain_text("43.5 mL is outside what was expected: 34.2 to 35.8 mL.")
    expect(question).to_contain_text("The full check follows")
    phone.page.get_by_role("button", name="Read again").tap()
    phone.type("34.5")
    expect(phone.page.locator(".question")).to_have_count(0)
    waits(phone, 2)
    phone.context.set_offline(False)
    phone.settled()
    kinds = [(r["kind"], r["number"], r["current"]) for r in phone.runs()["1"]["readings"]]
    assert kinds == [
        ("reading", "15.790", True), ("reading", "43.5", False), ("correction", "34.5", True),
    ]  # fmt: skip


def test_a_delivery_whose_answer_is_lost_is_not_recorded_twice(alone: Any, device: Device) -> None:
    """The server has it on the disk, the answer never arrives: sent again, recorded once."""
    phone = device(alone)
    phone.open()
    phone.settled()
    lost = []

    def lose(route: Any) -> None:
        if '"events":[]' in route.request.post_data:
            route.continue_()
            return
        lost.append(route.fetch().status)
        route.abort()

    phone.page.route("**/api/events", lose, times=1)
    phone.type("15.790")
    phone.settled()
    assert lost == [200]
    assert len(phone.sent) == 1
    assert [r["number"] for r in phone.runs()["1"]["readings"]] == ["15.790"]


@pytest.mark.parametrize("secure", [True, False], ids=["locks", "lease"])
def test_two_pages_of_one_device_do_not_send_twice(
    secure: bool, alone: Any, room: Any, device: Device
) -> None:
    """Web Locks on localhost; on plain http, where there are none, a lease in the store."""
    phone = device(alone if secure else room)
    if secure:
        phone.open()
    else:
        phone.join()
    phone.settled()
    query = f"?group={phone.group}" if secure else ""
    other = phone.context.new_page()
    other.goto(f"{phone.site.address}/bench/2{query}")
    other.wait_for_selector("#work:not([hidden])")
    assert other.evaluate("navigator.locks !== undefined") is secure
    phone.context.set_offline(True)
    for text in ("15.790", "34.5", "5.1"):
        phone.type(text)
    for text in ("15.912", "29.9"):
        other.keyboard.type(text)
        other.keyboard.press("Enter")
    # Each page sees what waits in the other.
    waits(phone, 5)
    phone.sent.clear()
    phone.context.set_offline(False)
    phone.settled()
    expect(other.locator("#net")).to_have_text("All is sent.")
    assert len(phone.sent) == len(set(phone.sent)) == 5
    assert len(phone.counting("1")) == 3
    assert len(phone.counting("2")) == 2


def test_a_session_that_has_ended_waits_for_the_new_code(room: Any, device: Device) -> None:
    """The instructor gives the group a new code: the queue waits, says so, and is sent later."""
    phone = device(room)
    phone.join()
    phone.type("15.790")
    phone.settled()
    # Whatever ends a session, the cookie no longer counts.
    phone.context.clear_cookies()
    phone.type("34.5")
    phone.says("This phone has to join again. 1 reading waits on this phone.")
    link = phone.page.get_by_role("link", name="Join again")
    expect(link).to_be_visible()
    phone.type("5.1")
    phone.says("This phone has to join again. 2 readings wait on this phone.")
    link.tap()
    phone.page.get_by_label("Code of your group").fill(room.code(phone.group))
    phone.page.get_by_role("button", name="Join").tap()
    phone.settled()
    assert [number for _, number in phone.counting("1")] == ["15.790", "34.5", "5.1"]


def test_a_device_that_changes_the_group_keeps_what_is_of_the_other(
    room: Any, device: Device
) -> None:
    phone = device(room)
    phone.join()
    phone.settled()
    phone.context.set_offline(True)
    phone.type("15.790")
    waits(phone, 1)
    first, second = phone.group, room.new_group()
    phone.context.clear_cookies()
    phone.context.set_offline(False)
    phone.group = second
    phone.join()
    phone.settled()
    trouble = phone.page.locator("#trouble")
    expect(trouble).to_contain_text(f"1 reading of group {first} on this phone.")
    assert phone.counting("1") == []
    phone.group = first
    phone.join()
    phone.settled()
    expect(trouble).to_be_empty()
    assert phone.counting("1") == [("tare_g", "15.790")]


def test_a_refused_reading_stays_with_the_reason(alone: Any, device: Device) -> None:
    phone = device(alone)
    phone.open()
    phone.type("15790000000")
    box = phone.page.get_by_role("group", name="Not recorded")
    expect(box).to_contain_text("run 1, empty polypropylene cup, 15790000000")
    expect(box).to_contain_text("allowed: 0, or")
    phone.settled()
    phone.page.reload()
    expect(box).to_be_visible()
    # It does not hold up the others.
    phone.asks("empty polypropylene cup")
    phone.type("15.790")
    phone.settled()
    assert phone.counting("1") == [("tare_g", "15.790")]
    box.get_by_role("button", name="Forget it").tap()
    expect(box.get_by_role("button", name="Yes, forget 15790000000")).to_be_visible()
    box.get_by_role("button", name="No, keep it").tap()
    box.get_by_role("button", name="Type it again").tap()
    expect(box).to_have_count(0)
    expect(phone.page.locator("#entry")).to_have_value("15790000000")


def test_the_server_is_killed_and_comes_back_first_as_itself_then_as_another(
    own_app: Callable[..., Any], device: Device, tmp_path: Path
) -> None:
    """What waits goes to the experiment it was recorded for, and to no other at that address."""
    folders = []
    for name in ("clean-pool-granules", "weak-acid-foot-bath"):
        folders.append(tmp_path / name)
        folders[-1].mkdir()
        text = (EXAMPLES / name / "experiment.toml").read_bytes()
        (folders[-1] / "experiment.toml").write_bytes(text)
    with own_app(folders[0]) as site:
        phone = device(site)
        phone.open()
        phone.type("15.790")
        phone.settled()
        site.process.send_signal(signal.SIGKILL)
        site.process.wait()
        phone.type("34.5")
        waits(phone, 1)
    with own_app(folders[0], port=site.port):
        phone.settled()
        assert phone.counting("1") == [("tare_g", "15.790"), ("diluent_mL", "34.5")]
        phone.context.set_offline(True)
        phone.type("5.1")
        waits(phone, 1)
    with own_app(folders[1], port=site.port):
        phone.context.set_offline(False)
        phone.open()
        phone.settled()
        trouble = phone.page.locator("#trouble")
        expect(trouble).to_contain_text("1 reading of another experiment")
        assert all(run["readings"] == [] for run in phone.runs().values())


def test_a_phone_knows_that_the_folder_was_restored_over(
    own_app: Callable[..., Any], device: Device, tmp_path: Path
) -> None:
    folder, older = tmp_path / "pool", tmp_path / "older"
    folder.mkdir()
    shutil.copy(EXAMPLES / "clean-pool-granules" / "experiment.toml", folder)
    with own_app(folder) as site:
        phone = device(site)
        phone.open()
        phone.type("15.790")
        phone.settled()
        site.process.send_signal(signal.SIGKILL)
        site.process.wait()
        shutil.copytree(folder, older)
    with own_app(folder, port=site.port) as again:
        phone.type("34.5")
        phone.settled()
        again.process.send_signal(signal.SIGKILL)
        again.process.wait()
        shutil.rmtree(folder)
        shutil.copytree(older, folder)
    with own_app(folder, port=site.port):
        phone.type("5.1")
        phone.says(
            "The record is not the one that took the readings: tell the instructor, and go on "
            "recording. 1 reading waits on this phone."
        )
        # A page that is opened anew says it as well.
        phone.page.goto(f"{site.address}/groups")
        expect(phone.page.get_by_role("alert")).to_contain_text("missing from the record")
    with own_app(folder, port=site.port):
        # Begun again by whoever is in charge: what waited is recorded.
        phone.open()
        phone.settled()
        assert phone.counting("1") == [("tare_g", "15.790"), ("reagent_mL", "5.1")]
