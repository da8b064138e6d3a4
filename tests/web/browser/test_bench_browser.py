"""The bench page in a real browser: recording, correcting, odd values, two devices, keys."""

from __future__ import annotations

import csv
import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

EXAMPLE = Path(__file__).parents[3] / "examples" / "clean-pool-granules"

ORDER = (
    "tare_g", "diluent_mL", "reagent_mL", "temperature_C", "vessel_liquid_g", "sample_g",
    "final_g", "minutes",
)  # fmt: skip

Device = Callable[..., Any]


def rows() -> list[dict[str, str]]:
    with (EXAMPLE / "readings.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_whole_series_on_a_phone(alone: Any, device: Device) -> None:
    """Eight cups: the first tapped on the number pad, the others typed as people type."""
    phone = device(alone)
    phone.open()
    phone.page.get_by_label("Read by").fill("A. B.")
    ways = (
        lambda text: phone.tap(text),
        lambda text: phone.type(text.replace(".", ",")),
        lambda text: phone.type(f" {text} "),
    )
    for number, row in enumerate(rows()):
        expect(phone.page.locator("#run-now")).to_have_text(f"Run {row['run']} of 8")
        for place, quantity in enumerate(ORDER):
            phone.page.wait_for_selector(f"#step-{quantity}[aria-current='step']")
            ways[0 if number == 0 else 1 + (number + place) % 2](row[quantity])
            phone.page.wait_for_selector(f"#step-{quantity}.is-done")
        phone.asks(f"Run {row['run']} is complete")
        if number < 7:
            phone.page.locator("#done-next").tap()
    expect(phone.page.locator("#done-text")).to_have_text("Everything in the series is recorded.")
    results = phone.page.get_by_role("link", name="See the results")
    assert results.get_attribute("href") == f"/results?group={phone.group}"
    phone.settled()
    on_server = phone.runs()
    for row in rows():
        readings = on_server[row["run"]]["readings"]
        assert [(r["quantity"], r["number"]) for r in readings] == [(q, row[q]) for q in ORDER]
        assert {r["who"] for r in readings} == {"A. B."}
        assert {r["kind"] for r in readings} == {"reading"}
    assert len(phone.sent) == len(set(phone.sent)) == 64


def test_the_target_is_shown_and_what_was_found_is_kept(alone: Any, device: Device) -> None:
    phone = device(alone)
    phone.open("3")
    phone.type("15.417")
    expect(phone.page.locator("#asks-goal")).to_contain_text("target 26.0 mL")
    assert phone.page.locator("#entry").input_value() == ""
    phone.type("25.5 ml")
    expect(phone.page.locator("#step-diluent_mL .value")).to_contain_text("25.5 mL")
    phone.settled()
    assert phone.counting("3") == [("tare_g", "15.417"), ("diluent_mL", "25.5")]


def test_what_a_reading_means_is_said_at_once(alone: Any, device: Device) -> None:
    """The liquid weighed beside its volumes, and the range of the next reading."""
    phone = device(alone)
    phone.open()
    for text in ("15.790", "34.5", "5.1"):
        phone.type(text)
    phone.page.locator("#leave-out").tap()
    phone.asks("polypropylene cup with liquid")
    expect(phone.page.locator("#asks-goal")).to_contain_text(
        "expected 53."
    )  # what may stay behind at a pour is known less well
    phone.type("54.840")
    meaning = phone.page.locator("#step-vessel_liquid_g .meaning")
    expect(meaning).to_contain_text("39.05 g of liquid by mass")
    assert phone.page.locator(".question").count() == 0


def test_an_odd_value_is_kept_and_asked_about_once(alone: Any, device: Device) -> None:
    phone = device(alone)
    phone.open("4")
    phone.type("15.745")
    phone.type("32.3")
    question = phone.page.locator("#step-diluent_mL .question")
    expect(question).to_contain_text("21.2 to 22.8 mL")
    expect(phone.page.locator("#warn")).to_contain_text("expected")
    # It is on the way to the record already, and the next step is asked for: nothing is blocked.
    phone.settled()
    assert phone.counting("4")[-1] == ("diluent_mL", "32.3")
    phone.asks("dilute hydrochloric acid")
    question.get_by_role("button", name="Keep 32.3 mL").tap()
    expect(question).to_have_count(0)
    expect(phone.page.locator("#step-diluent_mL .odd")).to_be_visible()
    phone.page.reload()
    expect(phone.page.locator("#step-diluent_mL .odd")).to_be_visible()
    expect(phone.page.locator(".question")).to_have_count(0)


def test_read_again_is_a_correction_and_the_first_value_stays_visible(
    alone: Any, device: Device
) -> None:
    phone = device(alone)
    phone.open("4")
    phone.type("15.745")
    phone.type("32.3")
    phone.page.get_by_role("button", name="Read again").tap()
    phone.asks("Read again: water")
    phone.type("22.3")
    step = phone.page.locator("#step-diluent_mL")
    expect(step.locator(".value")).to_contain_text("22.3 mL")
    expect(step.locator("s")).to_have_text("32.3 mL")
    expect(step.locator(".struck")).to_contain_text("read again")
    phone.settled()
    first, second = (r for r in phone.runs()["4"]["readings"] if r["quantity"] == "diluent_mL")
    assert (first["current"], second["current"]) == (False, True)
    assert (second["kind"], second["supersedes"]) == ("correction", first["id"])
    assert second["reason"] == "read again"
    phone.asks("dilute hydrochloric acid")


def test_a_correction_asks_why(alone: Any, device: Device) -> None:
    phone = device(alone)
    phone.open()
    phone.type("15.970")
    phone.page.locator("#step-tare_g .value").tap()
    phone.asks("Change: empty polypropylene cup")
    phone.tap("15.790")
    expect(phone.page.locator("#why-value")).to_have_text("15.970 g → 15.790 g")
    phone.page.get_by_role("button", name="I typed it wrongly").tap()
    expect(phone.page.locator("#step-tare_g s")).to_have_text("15.970 g")
    phone.page.locator("#step-tare_g .value").tap()
    phone.page.get_by_role("button", name="Take it back").tap()
    phone.page.get_by_label("Another reason").fill("wrong cup on the balance")
    phone.page.locator("#reason-keep").tap()
    expect(phone.page.locator("#step-tare_g s")).to_have_count(2)
    phone.asks("empty polypropylene cup")
    phone.settled()
    readings = phone.runs()["1"]["readings"]
    assert [r["kind"] for r in readings] == ["reading", "correction", "withdrawal"]
    assert [r["reason"] for r in readings] == ["", "typed wrongly", "wrong cup on the balance"]
    assert phone.counting("1") == []


def test_a_second_reading_stands_beside_the_first(alone: Any, device: Device) -> None:
    phone = device(alone)
    phone.open()
    phone.type("15.790")
    phone.page.locator("#step-tare_g .value").tap()
    phone.page.get_by_role("button", name="Second reading").tap()
    phone.type("15.791")
    expect(phone.page.locator("#step-tare_g .value")).to_have_count(2)
    phone.settled()
    readings = phone.runs()["1"]["readings"]
    assert [(r["number"], r["repeat"]) for r in readings] == [("15.790", 1), ("15.791", 2)]
    assert phone.runs()["1"]["conflicts"] == []


def test_what_is_no_number_stays_to_be_mended(alone: Any, device: Device) -> None:
    phone = device(alone)
    phone.open()
    for text, words in (("12 50", "not a number"), ("12 mL", "read in g"), ("1e999", "No balance")):
        phone.type(text)
        expect(phone.page.locator("#fault")).to_contain_text(words)
        assert phone.page.locator("#entry").input_value() == text
        phone.page.locator("[data-key='clear']").tap()
        expect(phone.page.locator("#fault")).to_have_text("")
    assert phone.sent == []


def test_two_devices_that_did_not_know_of_each_other(room: Any, device: Device) -> None:
    """Both readings are kept and shown; a person chooses, which takes the other one back."""
    group = room.new_group()
    one, other = device(room, group), device(room, group)
    for each in (one, other):
        each.join()
    one.type("15.790")
    one.settled()
    other.page.evaluate("window.dispatchEvent(new Event('focus'))")
    expect(other.page.locator("#step-tare_g .value")).to_contain_text("15.790 g")
    other.context.set_offline(True)
    other.type("34.9")
    one.type("34.5")
    one.settled()
    other.context.set_offline(False)
    other.settled()
    torn = other.page.locator("#step-diluent_mL .torn li")
    expect(torn).to_have_count(2)
    expect(other.page.locator("#step-diluent_mL .question")).to_contain_text("recorded twice")
    # It is said aloud, and brought into view above the number pad.
    expect(other.page.locator("#warn")).to_contain_text("recorded twice")
    question = other.page.locator("#step-diluent_mL .question").bounding_box()
    panel = other.page.locator("#panel").bounding_box()
    assert question["y"] >= 0
    assert question["y"] + question["height"] <= panel["y"]
    other.page.locator("#run-after").tap()
    expect(other.page.locator("#elsewhere")).to_have_text("A question is open inrun 1")
    other.page.locator("#asks-1").tap()
    one.page.evaluate("window.dispatchEvent(new Event('focus'))")
    expect(one.page.locator("#step-diluent_mL .torn li")).to_have_count(2)
    one.page.get_by_role("button", name=re.compile("34.5 mL counts")).tap()
    expect(one.page.locator("#step-diluent_mL s")).to_have_text("34.9 mL")
    one.settled()
    other.page.evaluate("window.dispatchEvent(new Event('focus'))")
    expect(other.page.locator("#step-diluent_mL .torn")).to_have_count(0)
    readings = [r for r in one.runs()["1"]["readings"] if r["quantity"] == "diluent_mL"]
    assert sorted((r["kind"], r["number"], r["current"]) for r in readings) == [
        ("reading", "34.5", True), ("reading", "34.9", False), ("withdrawal", "", False),
    ]  # fmt: skip


def test_the_keyboard_alone_is_enough(alone: Any, device: Device) -> None:
    """Record, answer a question, correct with a reason, change the run: no pointer at all."""
    desk = device(alone, viewport={"width": 1280, "height": 800}, has_touch=False, is_mobile=False)
    desk.open("2")
    keys = desk.page.keyboard

    def go_to(selector: str, *, back: bool = False) -> None:
        for _ in range(60):
            keys.press("Shift+Tab" if back else "Tab")
            if desk.page.evaluate(f"document.activeElement.matches({selector!r})"):
                return
        raise AssertionError(f"{selector} cannot be reached")

    keys.type("15.912", delay=60)
    keys.press("Enter")
    keys.type("39.9", delay=60)
    keys.press("Enter")
    # The question comes with the server's answer, which nobody's fingers outrun.
    expect(desk.page.locator("[id^=keep-]")).to_have_count(1)
    go_to("[id^=keep-]", back=True)
    keys.press("Enter")
    expect(desk.page.locator(".question")).to_have_count(0)
    assert desk.page.evaluate("document.activeElement.id") == "entry"
    go_to("[id^=value-]", back=True)
    keys.press("Enter")
    desk.asks("Change: water")
    for digit in "29.9":
        go_to(f"[data-key='{digit}']")
        keys.press("Space")
    go_to("#keep")
    keys.press("Enter")
    expect(desk.page.locator("#why")).to_be_visible()
    assert desk.page.evaluate("document.activeElement.dataset.reason") == "read again"
    go_to("[data-reason='typed wrongly']")
    keys.press("Enter")
    expect(desk.page.locator("#step-diluent_mL s")).to_have_text("39.9 mL")
    desk.settled()
    assert desk.counting("2") == [("tare_g", "15.912"), ("diluent_mL", "29.9")]
    go_to("#run-3", back=True)
    keys.press("Enter")
    expect(desk.page.locator("#run-title")).to_have_text("Run 3")
    assert desk.page.url.endswith(f"/bench/3?group={desk.group}")
    # Escape leads back from a correction that was not meant.
    desk.page.go_back()
    expect(desk.page.locator("#run-title")).to_have_text("Run 2")
    go_to("[id^=value-]", back=True)
    keys.press("Enter")
    keys.press("Escape")
    desk.asks("dilute hydrochloric acid")


def test_enter_alone_goes_on_when_a_run_is_complete(alone: Any, device: Device) -> None:
    """After the last reading of a run; a device that ends its line twice does not go on."""
    desk = device(alone, viewport={"width": 1280, "height": 800}, has_touch=False, is_mobile=False)
    desk.open("8")
    for quantity in ORDER[:-1]:
        desk.type(rows()[-1][quantity])
    desk.asks("waiting time")
    desk.page.keyboard.type("9\n\n")
    desk.asks("Run 8 is complete")
    expect(desk.page.locator("#say")).to_contain_text("Enter goes to run 1.")
    desk.page.wait_for_timeout(500)
    desk.page.keyboard.press("Enter")
    desk.asks("empty polypropylene cup")
    expect(desk.page.locator("#run-title")).to_have_text("Run 1")


def test_the_focus_is_seen_wherever_it_is(alone: Any, device: Device) -> None:
    desk = device(alone, viewport={"width": 1280, "height": 800}, has_touch=False, is_mobile=False)
    desk.open()
    unseen = []
    for _ in range(40):
        desk.page.keyboard.press("Tab")
        shown, name = desk.page.evaluate("""() => {
            const at = document.activeElement;
            const box = at.id === 'entry' ? at.closest('.display') : at;
            const style = getComputedStyle(box);
            const seen = style.outlineStyle !== 'none' || style.boxShadow !== 'none';
            return [seen || at === document.body, at.id || at.outerHTML.slice(0, 60)];
        }""")
        if not shown:
            unseen.append(name)
    assert unseen == []


def test_an_address_of_a_run_that_is_not_there_is_named(alone: Any, device: Device) -> None:
    """Else what is typed would go to another cup without a word."""
    phone = device(alone)
    phone.open("99")
    fault = phone.page.locator("#fault")
    expect(fault).to_have_text("There is no run 99 in this series: this is run 1.")
    expect(phone.page).to_have_url(re.compile(r"/bench/1(\?.*)?$"))
    expect(phone.page.locator("#run-now")).to_have_text("Run 1 of 8")
    phone.type("15.790")
    expect(phone.page.locator("#step-tare_g .value")).to_contain_text("15.790 g")
    expect(fault).to_have_text("")
    phone.open("6")
    expect(phone.page.locator("#run-now")).to_have_text("Run 6 of 8")
    expect(fault).to_have_text("")


def test_a_scanner_and_a_balance_that_type(alone: Any, device: Device) -> None:
    """Fast keys ended by Enter, two line ends or a tab, wherever the focus is."""
    phone = device(alone)
    phone.open()
    digest = phone.page.evaluate(
        "async () => (await (await fetch('/api/series')).json()).experiment.hash"
    )
    # A balance, while the focus is on a button that Enter and space would press.
    phone.page.locator("#run-after").focus()
    phone.page.keyboard.type("+   15.790 g\n\n")
    expect(phone.page.locator("#step-tare_g .value")).to_contain_text("15.790 g")
    expect(phone.page.locator("#fault")).to_have_text("")
    # Half a number is typed when the scanner shoots.
    phone.page.keyboard.type("5.")
    phone.page.keyboard.type(f"TB1 {digest[:8].upper()} {phone.group} 6\n")
    expect(phone.page.locator("#run-now")).to_have_text("Run 6 of 8")
    phone.asks("empty polypropylene cup")
    phone.page.keyboard.type(f"http://192.0.2.1:8000/run/{phone.group}/2?e=00000000\n")
    expect(phone.page.locator("#run-now")).to_have_text("Run 2 of 8")
    expect(phone.page.locator("#fault")).to_contain_text("before the definition was changed")
    phone.page.keyboard.type(f"TB1 {digest[:8].upper()} {phone.group} 99\n")
    expect(phone.page.locator("#fault")).to_contain_text("no run 99")
    # The keys of a device come faster than a test can send them one by one.
    phone.page.evaluate("""() => {
        const press = (key) => document.activeElement.dispatchEvent(
            new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }));
        for (const key of '15.912') { press(key); document.activeElement.value += key; }
        press('Tab');
    }""")
    expect(phone.page.locator("#step-tare_g .value")).to_contain_text("15.912 g")
    phone.settled()
    assert phone.counting("1") == [("tare_g", "15.790")]
    assert phone.counting("2") == [("tare_g", "15.912")]
    assert phone.counting("6") == []


def test_a_balance_on_a_port_fills_the_entry_and_a_person_keeps_it(
    alone: Any, device: Device
) -> None:
    """What it shows is taken for masses alone, and only what it shows while the page is open."""
    phone = device(alone)
    with phone.page.expect_response("**/api/balance*"):
        phone.open()
    os.write(alone.balance, b"   15.790 g\r\n")
    entry = phone.page.locator("#entry")
    expect(entry).to_have_value(re.compile(r"15\.790 g"))
    assert phone.counting("1") == []
    phone.page.locator("#keep").tap()
    phone.asks("water")
    os.write(alone.balance, b"   33.333 g\r\n")
    for _ in range(2):
        with phone.page.expect_response("**/api/balance*"):
            pass
    assert entry.input_value() == ""
    phone.type("34.5")
    phone.settled()
    assert phone.counting("1") == [("tare_g", "15.790"), ("diluent_mL", "34.5")]


def test_a_sheet_of_another_group_is_not_ours(room: Any, device: Device) -> None:
    phone = device(room)
    phone.join()
    phone.page.keyboard.type("TB1 00000000 elsewhere 2\n")
    expect(phone.page.locator("#fault")).to_contain_text("for group elsewhere")
    expect(phone.page.locator("#run-now")).to_have_text("Run 1 of 8")


def test_a_wrong_code_is_refused_and_a_right_one_leads_to_the_bench(
    room: Any, device: Device
) -> None:
    phone = device(room)
    phone.page.goto(f"{room.address}/join")
    phone.page.get_by_label("Code of your group").fill("AAA-AAA")
    phone.page.get_by_role("button", name="Join").click()
    expect(phone.page.get_by_role("alert")).to_contain_text("no such code")
    expect(phone.page.get_by_label("Code of your group")).to_have_value("AAA-AAA")
    phone.page.get_by_label("Code of your group").fill(room.code(phone.group).lower())
    phone.page.get_by_role("button", name="Join").click()
    phone.page.wait_for_selector("#work:not([hidden])")
    expect(phone.page.locator("h1")).to_contain_text(f"Group {phone.group}")
    phone.type("15.790")
    phone.settled()
    assert phone.counting("1") == [("tare_g", "15.790")]
    # The square on a bench sheet is a link; it leads to its run.
    phone.page.goto(f"{room.address}/run/{phone.group}/5?e=00000000")
    expect(phone.page.locator("#run-now")).to_have_text("Run 5 of 8")


def test_gloves_find_every_button(alone: Any, device: Device) -> None:
    """All that is pressed while working is at least 56 px wide and high, with air between."""
    phone = device(alone, viewport={"width": 360, "height": 640})
    phone.open()
    phone.type("15.790")
    phone.type("9.9")
    expect(phone.page.locator(".question")).to_be_visible()
    measure = """() => [...document.querySelectorAll('#bench button, #bench a, #bench input')]
        .filter((one) => one.offsetParent && one.id !== 'entry')
        .map((one) => {
            const box = one.getBoundingClientRect();
            return [one.id || one.dataset.key || one.textContent, box.left, box.top + scrollY,
                    box.width, box.height, one.closest('#panel') !== null];
        })"""
    boxes = [box for box in phone.page.evaluate(measure) if box[0] != ""]
    small = [box for box in boxes if min(box[3], box[4]) < 55.9 and not box[0].startswith("who")]
    assert small == []
    close = []
    for at, one in enumerate(boxes):
        for other in boxes[at + 1 :]:
            if one[5] != other[5]:
                continue
            across = max(one[1], other[1]) - min(one[1] + one[3], other[1] + other[3])
            down = max(one[2], other[2]) - min(one[2] + one[4], other[2] + other[4])
            if max(across, down) < 4:
                close.append((one[0], other[0]))
    assert close == []


def test_the_next_step_stays_in_sight_when_the_server_has_answered(
    alone: Any, device: Device
) -> None:
    """What the server says of a reading stands above the next step, and would push it down."""
    phone = device(alone)
    phone.open()
    for text in ("15.790", "34.5", "5.1", "21.0", "54.840"):
        phone.type(text)
        phone.settled()
    expect(phone.page.locator("#step-vessel_liquid_g")).to_contain_text("In the cup there are")
    hint = phone.page.locator("#step-sample_g .hint")
    expect(hint).to_contain_text("Do not add it yet.")
    below = """(hint) => hint.getBoundingClientRect().bottom
        - document.getElementById("panel").getBoundingClientRect().top"""
    assert hint.evaluate(below) <= 0


def test_nothing_is_wider_than_a_narrow_phone(alone: Any, device: Device) -> None:
    """At 320 px (a page at 400 %, WCAG 1.4.10) nothing has to be scrolled sideways."""
    phone = device(alone, viewport={"width": 320, "height": 568})
    phone.open()
    phone.type("15.790")
    phone.type("9.9")
    expect(phone.page.locator(".question")).to_be_visible()
    assert phone.page.evaluate("document.documentElement.scrollWidth") <= 320


@pytest.mark.parametrize("size", [(320, 568), (360, 640), (740, 360), (1024, 600)])
def test_the_first_step_and_the_whole_pad_are_in_view(
    size: tuple[int, int], alone: Any, device: Device
) -> None:
    """Also on a small phone, upright or lying, and when the page is opened for the first time."""
    phone = device(alone, viewport={"width": size[0], "height": size[1]})
    phone.open("3")
    phone.settled()
    inside = """() => ['#keep', '#entry', '.step[aria-current] .name'].map((one) => {
        const box = document.querySelector(one).getBoundingClientRect();
        const middle = [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
        const seen = document.elementFromPoint(...middle);
        return box.top >= 0 && box.bottom <= innerHeight && seen?.closest(one) !== null;
    })"""
    assert phone.page.evaluate(inside) == [True, True, True]


def test_what_is_typed_while_answers_arrive_stays_with_its_step(alone: Any, device: Device) -> None:
    """Eight cups typed at the pace at which the server answers: no value goes astray."""
    phone = device(alone)
    phone.open()
    phone.settled()
    digest = phone.page.evaluate(
        "async () => (await (await fetch('/api/series')).json()).experiment.hash"
    )
    lines = []
    for row in rows():
        lines.append(f"TB1 {digest[:8].upper()} {phone.group} {row['run']}")
        lines += [row[quantity] for quantity in ORDER]
    phone.page.evaluate(
        """async (lines) => {
            const entry = document.getElementById('entry');
            const panel = document.getElementById('panel');
            for (const [at, line] of lines.entries()) {
                entry.value = line;
                panel.requestSubmit();
                await new Promise((resolve) => setTimeout(resolve, (at * 7) % 40));
            }
        }""",
        lines,
    )
    phone.settled()
    on_server = phone.runs()
    for row in rows():
        readings = on_server[row["run"]]["readings"]
        assert [(r["quantity"], r["number"]) for r in readings] == [(q, row[q]) for q in ORDER]


BUSY_DISK = """() => new Promise((resolve) => {
    const asked = indexedDB.open('bench');
    asked.onsuccess = () => {
        const kept = asked.result.transaction(['events', 'kept'], 'readwrite').objectStore('kept');
        const look = () => { if (!window.diskIsFree) kept.get('device').onsuccess = look; };
        look();
        resolve();
    };
})"""


def test_a_reason_given_while_the_page_turns_goes_with_its_run(alone: Any, device: Device) -> None:
    phone = device(alone)
    phone.open()
    phone.type("15.970")
    phone.type("43.5")
    phone.settled()
    phone.page.locator("#step-tare_g .value").tap()
    phone.type("15.790")
    why = phone.page.get_by_role("button", name="I typed it wrongly")
    expect(why).to_be_visible()
    phone.page.evaluate(BUSY_DISK)
    phone.page.get_by_role("button", name="Keep 43.5 mL").tap()
    phone.page.locator("#run-after").tap()
    why.tap()
    phone.page.evaluate("window.diskIsFree = true")
    expect(phone.page.locator("#run-title")).to_have_text("Run 2")
    phone.settled()
    assert phone.counting("1") == [("diluent_mL", "43.5"), ("tare_g", "15.790")]
    assert phone.counting("2") == []
