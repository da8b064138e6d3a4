"""The bench in German: the course says so, the words are there offline, a device may choose."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import expect
from tests.web.browser.conftest import EXAMPLE, Bench, Site, run_app

SENT = "Alles ist gesendet."


@pytest.fixture(scope="module")
def german(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """The app of a course that is held in German, on the machine itself."""
    place = tmp_path_factory.mktemp("german") / "pool"
    place.mkdir()
    text = (EXAMPLE / "experiment.toml").read_text(encoding="utf-8")
    (place / "experiment.toml").write_text(f'{text}\n[course]\nlanguage = "de"\n', encoding="utf-8")
    with run_app(place) as site:
        yield site


def test_a_number_is_typed_with_a_comma_and_recorded_with_a_point(
    german: Site, device: Callable[..., Bench]
) -> None:
    # What the browser asks for does not count: the course is held in German.
    phone = device(german, locale="en-US")
    phone.open("1")
    page = phone.page
    expect(page.locator("html")).to_have_attribute("lang", "de")
    expect(page.locator("[data-key='.']")).to_have_text(",")
    for key in ("1", "5", ".", "7", "9"):
        page.locator(f"[data-key='{key}']").tap()
    expect(page.locator("#entry")).to_have_value("15,79")
    page.locator("#keep").tap()
    phone.says(SENT)
    assert phone.counting("1") == [("tare_g", "15.79")]
    expect(page.locator("#step-tare_g .value").first).to_contain_text("15,79 g")
    # A keyboard may bring either mark.
    phone.type("34.5")
    phone.says(SENT)
    phone.type("5,1")
    phone.says(SENT)
    assert [number for _, number in phone.counting("1")] == ["15.79", "34.5", "5.1"]


def test_what_is_odd_is_asked_in_german(german: Site, device: Callable[..., Bench]) -> None:
    phone = device(german)
    phone.open("1")
    for typed in ("15,790", "34,5", "5,1"):
        phone.type(typed)
        phone.says(SENT)
    phone.page.locator("#leave-out").tap()
    phone.asks("polypropylene cup mit Flüssigkeit")
    phone.type("84,540")
    phone.says(SENT)
    question = phone.page.locator("#step-vessel_liquid_g .question")
    expect(question.get_by_role("button", name="84,540 g behalten")).to_be_visible()
    expect(question.get_by_role("button", name="Noch einmal ablesen")).to_be_visible()
    expect(question.locator("b").first).to_contain_text("84,540")
    said = [one["message"] for one in phone.runs()["1"]["said"]]
    assert said
    assert not [one for one in said if " the " in one]


def test_the_words_are_there_without_a_network(german: Site, device: Callable[..., Bench]) -> None:
    phone = device(german)
    phone.open("2")
    phone.says(SENT)
    phone.worker_is_ready()
    phone.context.set_offline(True)
    phone.page.reload()
    phone.page.wait_for_selector("#work:not([hidden])")
    phone.type("15,79")
    phone.says("Keine Verbindung. Einfach weitermachen. 1 Messwert wartet auf diesem Telefon.")
    expect(phone.page.locator("#step-tare_g .value").first).to_contain_text("noch nicht gesendet")
    phone.context.set_offline(False)
    phone.says(SENT)


def test_a_device_may_choose_and_keeps_its_choice(
    german: Site, device: Callable[..., Bench]
) -> None:
    phone, other = device(german), device(german)
    phone.open("3")
    phone.page.get_by_role("button", name="English").tap()
    phone.page.wait_for_selector("html[lang='en'] #work:not([hidden])")
    phone.says("All is sent.")
    assert phone.page.url.split("?")[0].endswith("/bench/3")
    expect(phone.page.locator("[data-key='.']")).to_have_text(".")
    phone.page.goto(f"{german.address}/groups")
    expect(phone.page.locator("h1")).to_have_text("Groups")
    other.open("3")
    other.says(SENT)
    expect(other.page.locator("html")).to_have_attribute("lang", "de")
