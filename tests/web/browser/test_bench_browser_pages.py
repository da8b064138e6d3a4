"""Every page of the app, scanned for what keeps people out."""

from __future__ import annotations

from collections.abc import Callable
from importlib.resources import files
from typing import Any, Literal

import pytest
from playwright.sync_api import Page, expect

Device = Callable[..., Any]

RULES = {
    "light": {
        "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
        "resultTypes": ["violations"],
    },
    # Only the colours differ.
    "dark": {"runOnly": {"type": "rule", "values": ["color-contrast"]}},
}
DESK = {"viewport": {"width": 1280, "height": 800}, "has_touch": False, "is_mobile": False}


SCHEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")
KEEP_OUT = ("serious", "critical")


def faults(page: Page) -> list[str]:
    """Return the faults that axe-core finds and that keep people out, light and dark."""
    page.evaluate((files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8"))
    found = []
    for scheme in SCHEMES:
        page.emulate_media(color_scheme=scheme)
        scan = page.evaluate("(rules) => axe.run(document, rules)", RULES[scheme])
        for one in scan["violations"]:
            if one["impact"] in KEEP_OUT:
                nodes = "; ".join(node["html"][:120] for node in one["nodes"][:3])
                found.append(f"{scheme}, {one['id']}: {one['help']}: {nodes}")
    return found


def test_the_scan_finds_what_it_should(alone: Any, device: Device) -> None:
    desk = device(alone, "1", **DESK)
    desk.page.goto(f"{alone.address}/join")
    desk.page.evaluate(
        "document.querySelector('main').innerHTML = '<h1>Words</h1><input><button></button>'"
    )
    found = [one.split(": ")[0] for one in faults(desk.page)]
    assert found == ["light, button-name", "light, label"]
    desk.page.evaluate(
        "document.styleSheets[0].insertRule('@media (prefers-color-scheme: dark)"
        " { h1 { color: #222 } }', document.styleSheets[0].cssRules.length)"
    )
    assert "dark, color-contrast" in [one.split(": ")[0] for one in faults(desk.page)]


@pytest.mark.parametrize("size", [{}, DESK], ids=["phone", "desk"])
def test_the_bench_with_an_odd_value_and_a_correction(
    size: dict[str, Any], alone: Any, device: Device
) -> None:
    bench = device(alone, **size)
    bench.open()
    bench.type("15.970")
    bench.type("43.5")
    expect(bench.page.locator(".question")).to_be_visible()
    bench.settled()
    assert faults(bench.page) == []
    bench.page.locator("#step-tare_g .value").click()
    bench.type("15.790")
    expect(bench.page.locator("#why")).to_be_visible()
    assert faults(bench.page) == []
    bench.page.get_by_role("button", name="I typed it wrongly").click()
    bench.type("12 50")
    expect(bench.page.locator("#fault")).not_to_be_empty()
    bench.page.locator("#run-now").evaluate("(one) => one.click()")
    bench.context.set_offline(True)
    bench.type("5.1")
    bench.page.locator("[data-key='clear']").click()
    bench.type("5.1")
    expect(bench.page.locator("#net")).to_contain_text("No connection")
    assert faults(bench.page) == []


def test_the_bench_with_two_readings_to_choose_from(room: Any, device: Device) -> None:
    group = room.new_group()
    one, other = device(room, group), device(room, group)
    for each in (one, other):
        each.join()
        each.settled()
        each.context.set_offline(True)
    for each, text in ((one, "15.790"), (other, "15.970")):
        each.type(text)
        each.context.set_offline(False)
        each.settled()
    expect(other.page.locator(".torn li")).to_have_count(2)
    assert faults(other.page) == []


@pytest.mark.parametrize(
    "path",
    ["/", "/plan", "/prepare", "/groups", "/results?group=1", "/projector", "/nowhere"],
)
def test_a_page_of_the_instructor(path: str, alone: Any, device: Device) -> None:
    desk = device(alone, "1", **DESK)
    desk.page.goto(f"{alone.address}{path}")
    assert faults(desk.page) == []


@pytest.mark.parametrize("path", ["/join", "/results", "/bench"])
def test_a_page_of_somebody_who_has_not_joined(path: str, room: Any, device: Device) -> None:
    phone = device(room, "1")
    phone.page.goto(f"{room.address}{path}")
    assert faults(phone.page) == []


def test_results_of_a_group_with_all_cups(alone: Any, device: Device) -> None:
    desk = device(alone, "1", **DESK)
    desk.page.goto(f"{alone.address}/results?group=1")
    expect(desk.page.locator("#part .number").first).to_be_visible(timeout=20_000)
    assert faults(desk.page) == []
