"""The pure parts of the bench page, one by one, against the server's own code where it has it."""

from __future__ import annotations

import random
import re
import uuid
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page
from tests.run_codes import read_run_code
from tests.words import FOLDER

from tarebook.core.errors import InputError
from tarebook.records.readings import Quantity
from tarebook.records.typed import read_number
from tarebook.report.sheets.codes import run_code

BRING = """([text, locale]) => {
    const words = document.createElement("pre");
    words.id = "words";
    words.dataset.locale = locale;
    words.textContent = text;
    document.body.append(words);
}"""


@pytest.fixture(scope="module")
def page(alone: Any, chromium: Browser) -> Iterator[Page]:
    """A page from which the modules can be imported, with the words that a page brings."""
    with chromium.new_context() as context:
        page = context.new_page()
        page.goto(f"{alone.address}/prepare")
        page.evaluate(BRING, [(FOLDER / "en" / "pad.ftl").read_text(encoding="utf-8"), "en-GB"])
        yield page


def run(page: Page, module: str, body: str, given: Any = None) -> Any:
    """Run a function body with a module as `m` and something given as `x`."""
    script = f"async (x) => {{ const m = await import('/static/bench/{module}.js'); {body} }}"
    return page.evaluate(script, given)


def of_server(quantity: Quantity, typed: str) -> str | None:
    try:
        return read_number(quantity, typed)
    except InputError:
        return None


def test_numbers_are_read_as_the_server_reads_them(page: Page) -> None:
    """Written examples, and 4,000 strings put together from what people and balances type."""
    examples = [
        " 12,50 g", "0.0125 L", "+   52.310 g", "12 50", "1 234,5 mg", "12", ".5", "5.", ",5", "",
        "-0.003", "−0.003 g", "1e3", "1e999", "12.5.1", "1'234.5", "21 °C", "21°", "9 min", "9'",
        "18.7ml", "18.7 ML", "0.0187 l", "18,7 cm³", "G", "12 kg", "12 KG", "1,234 g", "٣",
        "1 234 567", "20 + 15", "20+15.5 mL", "20 mL + 15,5", "0.02 + 0.015 L", "20 + ", "20 + -5",
        "1e+3", "20 ++ 5", "25 + 25 + 2.5", "0.5", "5 constructor",
    ]  # fmt: skip
    pieces = ["1", "25", "307", ".", ",", " ", "-", "+", "−", "g", "mg", "kg", "mL", "L", "cl",
              "µl", "°C", "° c", "min", "'", "e2", "x", "000", " 123", "  "]  # fmt: skip
    rng = random.Random(20)
    made = ["".join(rng.choices(pieces, k=rng.randint(1, 5))) for _ in range(4000)]
    cases = [
        (quantity, typed)
        for quantity in (
            Quantity.TARE,
            Quantity.REAGENT,
            Quantity.TEMPERATURE,
            Quantity.MINUTES,
            Quantity.PIECES,
        )
        for typed in [*examples, *made[:1000]]
    ]
    made = made[1000:]
    cases += [(Quantity.TARE, typed) for typed in made]
    found = run(
        page,
        "numbers",
        "return x.map(([unit, typed]) => m.readNumber(unit, typed).number ?? null);",
        [[quantity.unit, typed] for quantity, typed in cases],
    )
    expected = [of_server(quantity, typed) for quantity, typed in cases]
    different = [
        (quantity.value, typed, here, there)
        for (quantity, typed), here, there in zip(cases, found, expected, strict=True)
        if here != there
    ]
    assert different == []
    # The comparison is of both kinds of strings.
    assert sum(one is None for one in expected) > 500
    assert sum(one is not None for one in expected) > 500


def test_codes_are_read_as_they_were_written(page: Page) -> None:
    names = [("3", "5"), ("A 1", "b/2"), ("Gruppe ä", "100 %"), ("x-1", "7")]
    codes = [
        run_code("1a2b3c4d5e", group, name, address)
        for group, name in names
        for address in ("", "http://192.168.1.20:8000", "https://bench.test/a")
    ]
    found = run(page, "codes", "return x.map((text) => m.readRunCode(text));", codes)
    for text, code in zip(codes, found, strict=True):
        read = read_run_code(text)
        assert (code["hash"], code["group"], code["run"]) == (read.digest, read.group, read.run)
    others = ["", "TB1", "TB2 1A2B3C4D 1 1", "TB1 1A2B3C4D 1", "http://x/walk/1/2", "12.50"]
    assert run(page, "codes", "return x.map((text) => m.readRunCode(text));", others) == [None] * 6


def test_ids_are_random_uuids(page: Page) -> None:
    """RFC 9562, section 5.4: version 4, variant 10."""
    ids = run(page, "ids", "return Array.from({ length: 2000 }, () => m.newId());")
    assert len(set(ids)) == 2000
    for text in ids:
        made = uuid.UUID(text)
        assert (str(made), made.version, made.variant) == (text, 4, uuid.RFC_4122)


def test_times_keep_the_order_of_work(page: Page) -> None:
    times = run(
        page,
        "ids",
        """const first = m.timeAfter('', 1000);
        const same = m.timeAfter(first, 1000);
        const back = m.timeAfter(same, 400);
        return [first, same, back, m.timeAfter('2030-01-01T00:00:00.000Z', 5000)];""",
    )
    assert times == [
        "1970-01-01T00:00:01.000Z", "1970-01-01T00:00:01.001Z", "1970-01-01T00:00:01.002Z",
        "1970-01-01T00:00:05.000Z",
    ]  # fmt: skip


def test_waiting_doubles_and_is_spread(page: Page) -> None:
    waits = run(
        page,
        "sync",
        "return [1, 2, 3, 4, 5, 6, 20].map((n) => [m.waitAfter(n, 0), m.waitAfter(n, 1)]);",
    )
    assert [most for _, most in waits] == [1000, 2000, 4000, 8000, 16000, 30000, 30000]
    assert all(least == most / 2 for least, most in waits)


def test_ranges_are_shown_no_narrower_than_they_are(page: Page) -> None:
    cases = [
        (4.2, 5.800000000000001, 0.1, "4.2 to 5.8"),
        (54.33777, 55.31801, 0.001, "54.337 to 55.319"),
        (54.33777, 55.31801, 0.01, "54.33 to 55.32"),
        (0.0, 0.0, 0.1, "0.0"),
        (1.47, 1.53, 0, "1.4 to 1.6"),
    ]
    found = run(
        page,
        "numbers",
        "return x.map(([low, high, step]) => m.rangeText({ low, high }, step));",
        [case[:3] for case in cases],
    )
    assert found == [case[3] for case in cases]


def test_one_page_at_a_time_holds_the_lease(page: Page) -> None:
    """A page that died with it holds the others up until it runs out, no longer."""
    found = run(
        page,
        "lock",
        """const { openStore } = await import('/static/bench/store.js');
        const store = await openStore();
        let now = 1000;
        const make = (owner) => m.newLock(store, owner, undefined, () => now);
        const [one, other, dead] = [make('one'), make('other'), make('dead')];
        const said = [];
        await one.hold(async (renew) => {
            said.push(await other.hold(async () => 'both') ?? 'kept out');
            now += m.LEASE_MS - 1;
            said.push(await renew());
            now += m.LEASE_MS - 1;
            said.push(await other.hold(async () => 'both') ?? 'kept out');
        });
        said.push(await other.hold(async () => 'next'));
        await store.change((at) => at.keep('lease', { owner: 'dead', until: now + m.LEASE_MS }));
        said.push(await one.hold(async () => 'early') ?? 'kept out');
        now += m.LEASE_MS;
        said.push(await one.hold(async () => 'late'));
        await store.change((at) => at.keep('lease', { owner: 'dead', until: now + 9e9 }));
        said.push(await one.hold(async () => 'clock set back'));
        return said;""",
    )
    assert found == ["kept out", True, "kept out", "next", "kept out", "late", "clock set back"]


def test_an_axis_ends_at_a_number_and_holds_everything(page: Page) -> None:
    given = [0.1, 0.74, 0.8, 1, 4.2, 36.0, 40, 99]
    body = "return x.map((most) => m.ticks(most, 6))"
    for most, ticks in zip(given, run(page, "../chart", body, given), strict=True):
        values = [value for value, _ in ticks]
        assert values[0] == 0
        assert values[-2] < most <= values[-1] * (1 + 1e-9)
        assert [float(text) for _, text in ticks] == pytest.approx(values)
        assert len(values) <= 8


def test_the_store_keeps_all_or_nothing(page: Page) -> None:
    found = run(
        page,
        "store",
        """const store = await m.openStore();
        await store.change(async (at) => {
            await at.add({ event: { id: 'a' } });
            await at.keep('last-taken', 'then');
            throw new Error('no');
        }).catch(() => undefined);
        const look = async (at) => [await at.all(), await at.get('last-taken')];
        return [store.durable, await store.change(look)];""",
    )
    assert found[0] is True
    assert found[1][0] == []
    assert found[1][1] is None


def test_a_browser_that_keeps_nothing_still_records(page: Page) -> None:
    found = run(
        page,
        "store",
        """const real = indexedDB.open;
        IDBFactory.prototype.open = () => { throw new Error('not allowed'); };
        const store = await m.openStore();
        IDBFactory.prototype.open = real;
        const { Queue } = await import('/static/bench/queue.js');
        const queue = new Queue(store, '1');
        const place = { group: '1', title: 't', hash: 'h' };
        const { standing } = await import('/static/bench/status.js');
        await queue.add(place, [{ id: 'a', taken_at: 'x' }, { id: 'b', taken_at: 'y' }]);
        await queue.settle('1', { acknowledged: ['a'], refused: [], runs: [] });
        const left = (await queue.snapshot()).entries;
        return [store.durable, left.map((one) => one.event.id),
                standing('offline', 1, store.durable, 'phone').text];""",
    )
    assert found[:2] == [False, ["b"]]
    assert "leave the page open" in found[2]


SYNC = """
const { Queue } = await import('/static/bench/queue.js');
const { openStore } = await import('/static/bench/store.js');
const real = indexedDB.open;
IDBFactory.prototype.open = () => { throw new Error('in memory'); };
const store = await openStore();
IDBFactory.prototype.open = real;
const queue = new Queue(store, '1');
const series = (readings) => ({ kind: 'ok', body: { group: '1', csrf: 'c', head: readings.length,
  most_events: 60, experiment: { title: 't', hash: 'h' }, runs: [{ run: '1', readings }] } });
await queue.add({ group: '1', title: 't', hash: 'h' }, [{ id: 'a', run: '1', taken_at: 'x' }]);
const answers = [series([]), ...x];
const requests = {
  getSeries: async () => answers.shift() ?? series([{ id: 'a' }]),
  postEvents: async () => ({ kind: 'ok', body: { acknowledged: ['a'], refused: [], runs: [],
    more: true, head: 1, receipt: '' } }),
};
const lock = { hold: async (work) => work(async () => true) };
const sync = new m.Sync({ queue, lock, requests, group: '1', everyGroup: false, shows: () => true,
  signed: (event) => event, key: () => ({}), changed: () => undefined });
sync.want();
while (sync.running) await new Promise((resolve) => setTimeout(resolve, 5));
clearTimeout(sync.timer);
const at = await queue.snapshot();
return [at.entries.map((one) => one.event.id), at.series.runs[0].readings.map((one) => one.id)];
"""


def test_what_was_acknowledged_leaves_the_queue_when_it_is_in_the_view(page: Page) -> None:
    """Where an answer has no room for all runs, the series is asked for first."""
    assert run(page, "sync", SYNC, []) == [[], ["a"]]
    # Without it the reading waits on the device; to send it again does no harm.
    assert run(page, "sync", SYNC, [{"kind": "unreachable"}]) == [["a"], []]


def test_what_was_said_of_a_run_stands_until_the_server_looks_again(page: Page) -> None:
    found = run(
        page,
        "queue",
        """const range = { low: 1, high: 2, unit: 'g' };
        const before = { head: 3, runs: [{ run: '1', looked: true, targets: { sample_g: 1.5 },
          readings: [], said: ['odd'], expected: { sample_g: range, final_g: range } }] };
        const now = { run: '1', looked: false, targets: { sample_g: 1.5 }, readings: ['new'],
          said: [], expected: {} };
        const [unlooked] = m.withRuns(before, [now]).runs;
        const [looked] = m.withRuns(before, [{ ...now, looked: true }]).runs;
        return [unlooked.readings, unlooked.said, Object.keys(unlooked.expected),
                looked.said, Object.keys(looked.expected)];""",
    )
    # Of the ranges, those that rest on the plan alone: another may rest on what has changed.
    assert found == [["new"], ["odd"], ["sample_g"], [], []]


ASKED_AGAIN = """
const series = { group: '1', csrf: 'c', head: 0, most_events: 60,
  experiment: { title: 't', hash: 'h' }, runs: [{ run: '1', looked: true,
  targets: {}, readings: [], said: [], expected: {} }] };
const snapshot = { entries: [{ group: '1', title: 't', hash: 'h', refused: null, order: 1,
  event: { id: 'a', run: '1' } }], series, receipts: [] };
const queue = {
  snapshot: async () => snapshot,
  keepSeries: async () => snapshot,
  settle: async () => Object.assign(snapshot, { entries: [] }),
};
const asked = [];
const requests = {
  getSeries: async () => ({ kind: 'ok', body: series }),
  postEvents: async (group, events, token, receipts, key, look) => {
    asked.push([events.length, look]);
    return { kind: 'ok', body: { acknowledged: events.map((one) => one.id), refused: [], head: 0,
      runs: [{ ...series.runs[0], looked: asked.length > 1 }] } };
  },
};
const lock = { hold: async (work) => work(async () => true) };
const sync = new m.Sync({ queue, lock, requests, group: '1', everyGroup: false, shows: () => true,
  signed: (event) => event, key: () => ({}), changed: () => undefined });
sync.want();
while (asked.length < 2) await new Promise((resolve) => setTimeout(resolve, 20));
while (sync.running) await new Promise((resolve) => setTimeout(resolve, 5));
clearTimeout(sync.timer);
return [asked, [...sync.unlooked]];
"""


def test_a_run_that_was_not_looked_at_is_asked_for_again_soon(page: Page) -> None:
    assert run(page, "sync", ASKED_AGAIN) == [[[1, []], [0, ["1"]]], []]


def test_a_series_in_pages_is_put_together(page: Page) -> None:
    found = run(
        page,
        "requests",
        """const asked = [];
        const real = window.fetch;
        const pages = { '': [['1', '2'], 2], 'begin=2': [['3'], 3], 'begin=3': [['4'], null] };
        window.fetch = async (address) => {
          asked.push(address);
          const [runs, next] = pages[address.split('group=1')[1].slice(1)];
          return new Response(JSON.stringify({ head: asked.length, next,
            runs: runs.map((run) => ({ run })) }));
        };
        const answer = await m.getSeries('1', []);
        window.fetch = real;
        return [answer.body.runs.map((one) => one.run), answer.body.head, asked.length];""",
    )
    # The head is that of the first page: what came meanwhile is asked for again.
    assert found == [["1", "2", "3", "4"], 1, 3]


def test_a_device_is_told_from_a_person(page: Page) -> None:
    found = run(
        page,
        "typing",
        """const after = (gap, count) => {
            const burst = new m.Burst();
            let time = 0;
            for (let n = 0; n < count; n += 1) burst.key(time += gap);
            return burst.ends(time + gap);
        };
        return [after(5, 6), after(20, 6), after(80, 12), after(5, 3)];""",
    )
    assert found == [True, True, False, False]


def test_nothing_is_redrawn_under_a_finger(page: Page) -> None:
    """A redraw during a press waits for the click; without a click it comes soon after."""
    found = run(
        page,
        "dom",
        """const wait = (time) => new Promise((resolve) => setTimeout(resolve, time));
        const send = (name) => document.dispatchEvent(new Event(name, { bubbles: true }));
        let draws = 0;
        const draw = () => { if (!still.holds()) draws += 1; };
        const still = new m.Stillness(draw);
        const said = [];
        draw();
        said.push(draws);
        send('pointerdown');
        draw();
        said.push(draws);
        send('pointerup');
        send('click');
        await wait(20);
        said.push(draws);
        send('pointerdown');
        draw();
        send('pointerup');
        send('pointerdown');
        await wait(150);
        said.push(draws);
        send('pointercancel');
        await wait(150);
        said.push(draws);
        return said;""",
    )
    assert found == [1, 1, 2, 2, 3]


def test_what_looks_as_before_stays_as_it_is(page: Page) -> None:
    found = run(
        page,
        "dom",
        """const list = document.createElementNS('http://www.w3.org/1999/xhtml', 'ul');
        const items = (words) => words.map((word) => {
            const item = document.createElementNS('http://www.w3.org/1999/xhtml', 'li');
            item.textContent = word;
            return item;
        });
        const look = () => [...list.childNodes].map((item) => item.textContent);
        m.fill(list, items(['a', 'b', 'c']));
        const [a, b] = list.childNodes;
        m.fill(list, items(['a', 'x']));
        const said = [look(), list.childNodes[0] === a, list.childNodes[1] === b];
        m.fill(list, items([]));
        return [...said, look()];""",
    )
    assert found == [["a", "x"], True, False, []]


STEPS = [
    {"quantity": name, "label": name, "unit": unit, "hint": "", "step": 0.001, "optional": optional}
    for name, unit, optional in (
        ("tare_g", "g", False), ("temperature_C", "°C", True), ("final_g", "g", False),
        ("minutes", "min", True),
    )
]  # fmt: skip


def reading(id_: str, quantity: str, **more: Any) -> dict[str, Any]:
    return {
        "id": id_, "quantity": quantity, "repeat": 1, "typed": "1", "number": "1", "value": 1.0,
        "unit": "g", "kind": "reading", "supersedes": None, "reason": "", "who": "",
        "device": "d", "taken_at": "2026-01-01T00:00:00Z", "current": True, "conflict": False,
        **more,
    }  # fmt: skip


def a_run(*readings: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {
        "run": "1", "targets": {}, "readings": list(readings), "expected": {}, "said": [],
        "next": None, "conflicts": [], **more,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("taken", "left", "following"),
    [
        ([], [], "tare_g"),
        (["tare_g"], [], "temperature_C"),
        (["tare_g"], ["temperature_C"], "final_g"),
        (["tare_g", "final_g"], [], "minutes"),
        (["tare_g", "final_g"], ["minutes"], None),
        (["temperature_C", "final_g"], [], "tare_g"),
        (["tare_g", "temperature_C", "final_g", "minutes"], [], None),
    ],
)
def test_the_next_step(
    page: Page, taken: list[str], left: list[str], following: str | None
) -> None:
    view = a_run(*(reading(str(n), name) for n, name in enumerate(taken)))
    body = "return m.nextStep(x.steps, x.run, new Set(x.left))?.quantity ?? null;"
    given = {"steps": STEPS, "run": view, "left": left}
    assert run(page, "steps", body, given) == following


def test_a_run_has_no_step_for_what_its_plan_does_not_ask(page: Page) -> None:
    body = """return [
      m.stepsOf(x.steps, x.run).map((step) => step.quantity),
      m.nextStep(x.steps, x.run, new Set(["minutes"]))?.quantity ?? null,
      m.progress(x.steps, x.run),
    ];"""
    blank = a_run(reading("a", "tare_g"), not_asked=["final_g", "temperature_C"])
    given = {"steps": STEPS, "run": blank}
    assert run(page, "steps", body, given) == [["tare_g", "minutes"], None, {"done": 1, "of": 1}]
    # What was read all the same is shown.
    read = a_run(reading("a", "tare_g"), reading("b", "final_g"), not_asked=["final_g"])
    found = run(page, "steps", body, {"steps": STEPS, "run": read})
    assert "final_g" in found[0]


def test_the_end_of_a_burette_is_counted_on_from_its_start(page: Page) -> None:
    def step(quantity: str, counts: str, first: str | None, unit: str = "mL") -> dict[str, Any]:
        return {
            "quantity": quantity, "label": quantity, "unit": unit, "hint": "", "step": 0.01,
            "optional": False, "counts": counts, "from": first, "instrument": "",
        }  # fmt: skip

    start = step("reagent_start_mL", "reagent_mL", None)
    end = step("reagent_end_mL", "reagent_mL", "reagent_start_mL")
    holder = step("holder_before_g", "sample_g", None, "g")
    emptied = step("holder_after_g", "sample_g", None, "g")
    at = reading("a", "reagent_start_mL", typed="2.35", number="2.35", value=2.35, unit="mL")
    view = a_run(at, targets={"reagent_mL": 16.4, "sample_g": 1.5})
    body = "return x.steps.map((step) => m.goals(x.run, step).target);"
    given = {"steps": [start, end, holder, emptied], "run": view}
    assert run(page, "steps", body, given) == ["", "18.75 mL", "1.50 g in it", ""]
    unread = a_run(targets={"reagent_mL": 16.4, "sample_g": 1.5})
    assert run(page, "steps", body, {"steps": [end], "run": unread}) == [""]


@pytest.mark.parametrize(
    ("keys", "typed"),
    [
        (["2", "0", "+", "1", "5", ".", "5"], "20 + 15.5"),
        (["2", ".", ".", "5", "+", "+", "1", ".", "2", ".", "3"], "2.5 + 1.23"),
        (["2", "+", "back", "0"], "20"),
        (["+", "3"], "3"),
        (["2", "+", "clear", "4"], "4"),
    ],
)
def test_the_pad_types_a_pour_in_several_fillings(page: Page, keys: list[str], typed: str) -> None:
    body = "return x.reduce((text, key) => m.typedWith(text, key), '');"
    assert run(page, "typing", body, keys) == typed


def test_what_waits_is_laid_over_the_view_of_the_server(page: Page) -> None:
    view = a_run(
        reading("a", "tare_g"),
        expected={
            "final_g": {"low": 1, "high": 2, "unit": "g"},
            "tare_g": {"low": 1, "high": 2, "unit": "g"},
        },
    )

    def entry(order: int, **event: Any) -> dict[str, Any]:
        made = {"kind": "reading", "run": "1", "taken_at": "", "who": "", "device": "d", **event}
        return {"order": order, "group": "1", "event": made, "refused": None}

    entries = [
        entry(1, id="b", quantity="tare_g", kind="correction", supersedes="a", typed="2,50 g"),
        entry(2, id="c", quantity="minutes", typed="9"),
        entry(3, id="d", quantity="minutes", kind="withdrawal", supersedes="c"),
        entry(4, id="a", quantity="tare_g", typed="1"),
        {**entry(5, id="e", quantity="final_g", typed="x"), "refused": {"message": "", "do": ""}},
    ]
    given = {"run": view, "entries": entries, "steps": STEPS}
    found = run(page, "steps", "return m.merged(x.run, x.entries, x.steps);", given)
    shown = [(r["id"], r["number"], r["current"], r.get("waits", False)) for r in found["readings"]]
    assert shown == [
        ("a", "1", False, False), ("b", "2.50", True, True), ("c", "9", False, True),
        ("d", "", False, True),
    ]  # fmt: skip
    # The range of the final mass rests on a tare that has changed; that of the tare does not.
    assert list(found["expected"]) == ["tare_g"]


def test_the_range_speaks_where_the_server_does_not(page: Page) -> None:
    """Not while an answer is about to come; nor where the server has called it odd itself."""
    note = {"code": "n", "severity": "note", "reading": "tare_g", "message": "n", "do": ""}
    odd = {"code": "o", "severity": "stop", "reading": "tare_g", "message": "o", "do": ""}
    outside = {"tare_g": {"low": 2, "high": 3, "unit": "g"}}
    inside = {"tare_g": {"low": 1, "high": 3, "unit": "g"}}
    seen, unseen = reading("a", "tare_g"), reading("a", "tare_g", waits=True)
    cases = [
        a_run(seen, expected=outside),
        a_run(seen, expected=inside, said=[note]),
        a_run(seen, expected=outside, said=[note]),
        a_run(seen, expected=outside, said=[odd]),
        a_run(unseen, expected=outside, said=[odd]),
        a_run(unseen, expected=outside, answering=True),
        a_run(unseen),
    ]
    body = "return x.runs.map((run) => m.findings(run, x.step).map((one) => one.code));"
    found = run(page, "steps", body, {"runs": cases, "step": STEPS[0]})
    own = "outside-expected"
    assert found == [[own], ["n"], ["n", own], ["o"], [own], [], []]


def test_every_file_of_the_page_is_kept_for_a_reload(page: Page) -> None:
    """What the worker keeps is what the page loads."""
    worker = page.evaluate("async () => (await fetch('/static/bench/worker.js')).text()")
    modules = set(re.findall(r'"([a-z]+\.(?:js|css))"', worker))
    html = page.evaluate("async () => (await fetch('/bench')).text()")
    assert set(re.findall(r'/static/bench/([a-z]+\.(?:js|css))"', html)) == modules
    wanted: set[str] = {"main.js", "bench.css"}
    seen: set[str] = set()
    while wanted - seen:
        name = (wanted - seen).pop()
        seen.add(name)
        text = page.evaluate(f"async () => (await fetch('/static/bench/{name}')).text()")
        wanted |= set(re.findall(r'(?:from|import) "\./([a-z]+\.js)"', text))
    assert modules == seen
