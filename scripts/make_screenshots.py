"""Make the pictures of the app in docs/pictures/app: every page, four sizes, light and dark.

Run `.venv/bin/python scripts/make_screenshots.py`. It starts the app on the invented example, works
at the bench as a person does, and takes the pictures with Chromium (/usr/bin/chromium).
"""

from __future__ import annotations

import csv
import io
import os
import shutil
import socket
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Literal

from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

ROOT = Path(__file__).parents[1]
EXAMPLE = ROOT / "examples" / "clean-pool-granules"
PICTURES = ROOT / "docs" / "pictures" / "app"
CHROMIUM = "/usr/bin/chromium"
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip

SIZES = ((390, 844, 1.0), (820, 1180, 1.0), (1280, 800, 1.0), (1920, 1080, 0.75))
"""Width and height as the page sees them, and how much of that the picture keeps."""

SCHEMES: tuple[Literal["light", "dark"], ...] = ("light", "dark")
COLOURS = 64
MOST_BYTES = 4_000_000

PATIENCE_MS = 300_000
"""A busy machine is slow, not wrong: every picture waits for what it shows, not for a time."""

GROUPS = 5
DONE, MEASURED, ODD, OFFLINE, TORN = "1", "2", "3", "4", "5"
"""Groups: one with all cups, and one for each picture of the bench."""

with (EXAMPLE / "readings.csv").open(encoding="utf-8", newline="") as sheet:
    ROWS = {row["run"]: row for row in csv.DictReader(sheet)}

SENT_BY = """async ([group, device, typed]) => {
    const id = (await import('/static/bench/ids.js')).newId();
    const { csrf } = await (await fetch(`/api/series?group=${group}`)).json();
    const taken_at = new Date().toISOString();
    const events = [{ id, kind: 'reading', run: '1', quantity: 'tare_g', typed, device, taken_at }];
    const headers = { 'content-type': 'application/json', 'x-csrf-token': csrf };
    const body = JSON.stringify({ group, events });
    const answer = await fetch('/api/events', { method: 'POST', headers, body });
    if ((await answer.json()).acknowledged.length !== 1) throw new Error('not recorded');
}"""
"""What a device does that knows nothing of the others."""

STILL = """async () => {
    const shown = () => `${document.body.innerHTML.length} ${scrollX} ${scrollY}`;
    const frame = () => new Promise((done) => requestAnimationFrame(done));
    for (let same = 0, last = ''; same < 12; ) {
        await frame();
        [same, last] = shown() === last ? [same + 1, last] : [0, shown()];
    }
}"""
"""Waits until the page has stayed as it is for some frames."""

MEASURED_QUANTITIES = ("tare_g", "diluent_mL", "reagent_mL", "temperature_C", "vessel_liquid_g")


def main() -> None:
    """Make all pictures."""
    shutil.rmtree(PICTURES, ignore_errors=True)
    PICTURES.mkdir(parents=True)
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as place:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        with app(Path(place) / "alone") as address, app(Path(place) / "room", "--share") as room:
            record(browser, address)
            for width, height, scale in SIZES:
                for scheme in SCHEMES:
                    context = browser.new_context(
                        viewport={"width": width, "height": height},
                        device_scale_factor=scale,
                        color_scheme=scheme,
                        reduced_motion="reduce",
                        is_mobile=width < 1000,
                        has_touch=width < 1000,
                    )
                    context.set_default_timeout(PATIENCE_MS)
                    page = context.new_page()
                    for name, show in PAGES.items():
                        show(page, room if name == "join" else address)
                        keep(page, f"{name}-{width}-{scheme}")
                    context.close()
        browser.close()
    total = sum(picture.stat().st_size for picture in PICTURES.iterdir())
    print(f"{len(list(PICTURES.iterdir()))} pictures, {total / 1e6:.1f} MB, in {PICTURES}")
    if total > MOST_BYTES:
        sys.exit(f"They may be {MOST_BYTES / 1e6:.0f} MB together: lower a scale in SIZES.")


@contextmanager
def app(folder: Path, *options: str) -> Iterator[str]:
    """Run the app on the example; its address."""
    folder.mkdir()
    for name in ("experiment.toml", "readings.csv"):
        shutil.copy(EXAMPLE / name, folder)
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    program = str(Path(sys.executable).with_name("tarebook"))
    process = subprocess.Popen(
        [program, "bench", str(folder), "--no-browser", "--port", str(port),
         "--groups", str(GROUPS), *options],
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )  # fmt: skip
    assert process.stdout is not None
    try:
        for line in process.stdout:
            if line.startswith("Stop with"):
                break
        yield f"http://localhost:{port}"
    finally:
        process.terminate()
        process.wait()
        process.stdout.close()


def record(browser: Browser, address: str) -> None:
    """Work at the bench in group 2, so that there is something to see."""
    page = browser.new_page()
    page.set_default_timeout(PATIENCE_MS)
    at_bench(page, address, MEASURED, "2")
    for quantity in MEASURED_QUANTITIES:
        enter(page, ROWS["2"][quantity])
    page.wait_for_selector("#net[data-state='good']")
    for device, tare in (("phone-akmt", "15.790"), ("tablet-rwcf", "15.970")):
        page.evaluate(SENT_BY, [TORN, device, tare])
    page.close()


def at_bench(page: Page, address: str, group: str, run: str) -> None:
    """Open the bench page of a group at a run."""
    page.goto(f"{address}/bench/{run}?group={group}")
    page.wait_for_selector("#work:not([hidden])")
    page.wait_for_selector("#net[data-state='good']")


def enter(page: Page, text: str) -> None:
    """Type a number and press Enter, as at the bench."""
    page.keyboard.type(text)
    page.keyboard.press("Enter")
    page.wait_for_selector("#panel:not([aria-busy])")


def bench_in_work(page: Page, address: str) -> None:
    """A cup in work: what its liquid means, the sample next."""
    at_bench(page, address, MEASURED, "2")


def bench_odd(page: Page, address: str) -> None:
    """A mass with one digit wrong, asked about while the cup is there; each time another cup."""
    page.goto(f"{address}/bench?group={ODD}")
    page.wait_for_selector("#work:not([hidden])")
    page.wait_for_selector("#net[data-state='good']")
    run = page.evaluate(
        """async (group) => {
        const series = await (await fetch(`/api/series?group=${group}`)).json();
        return series.runs.find((run) => run.readings.length === 0).run;
    }""",
        ODD,
    )
    at_bench(page, address, ODD, run)
    row = ROWS[run]
    for quantity in ("tare_g", "diluent_mL", "reagent_mL", "temperature_C"):
        enter(page, row[quantity])
    mass = row["vessel_liquid_g"]
    enter(page, f"{int(mass[0]) + 1}{mass[1:]}")
    page.wait_for_selector("#net[data-state='good']")
    page.wait_for_selector(".question")


def bench_torn(page: Page, address: str) -> None:
    """One cup that two devices weighed."""
    at_bench(page, address, TORN, "1")
    page.wait_for_selector(".torn")


def bench_even_again(page: Page) -> None:
    """Take the odd mass back: it must not weigh on the picture of the next cup."""
    page.locator("#step-vessel_liquid_g .value").click()
    page.locator("#take-back").click()
    page.locator("[data-reason='typed wrongly']").click()
    page.wait_for_selector("#panel:not([aria-busy])")
    page.wait_for_selector("#net[data-state='good']")


def bench_offline(page: Page, address: str) -> None:
    """The network has dropped; two readings wait on the device."""
    at_bench(page, address, OFFLINE, "1")
    page.route("**/api/**", lambda route: route.abort())
    for text in ("15.790", "34.5"):
        enter(page, text)
    page.wait_for_selector("#net[data-state='waits']")


def bench_online_again(page: Page) -> None:
    """Forget what waits, so that the next picture begins with the same."""
    page.unroute("**/api/**")
    page.evaluate("""async () => {
        const { openStore } = await import('/static/bench/store.js');
        await (await openStore()).change(async (at) => {
            for (const entry of await at.all()) await at.remove(entry.order);
        });
    }""")


def results(page: Page, address: str) -> None:
    """The results of the group that is done."""
    page.goto(f"{address}/results?group={DONE}")
    page.wait_for_selector("#part .number")
    page.locator("#state", has_text="Updated").wait_for()


def projector(page: Page, address: str) -> None:
    """The points of the class."""
    page.goto(f"{address}/projector")
    page.wait_for_selector("#picture .dot")


def plain(path: str, *shown: str) -> Callable[[Page, str], None]:
    """Return what shows a page that needs no more than its address, as soon as it shows all."""

    def show(page: Page, address: str) -> None:
        page.goto(f"{address}{path}")
        for what in shown:
            page.wait_for_selector(what)

    return show


PAGES: dict[str, Callable[[Page, str], None]] = {
    "start": plain("/"),
    "plan": plain("/plan", "#picture .dot", "#part table"),
    "prepare": plain("/prepare"),
    "groups": plain("/groups"),
    "join": plain("/join"),
    "bench": bench_in_work,
    "bench-odd": bench_odd,
    "bench-offline": bench_offline,
    "bench-torn": bench_torn,
    "results": results,
    "projector": projector,
}


def keep(page: Page, name: str) -> None:
    """Take a picture of what is in view, with few colours: it is paper and ink."""
    page.evaluate("document.fonts.ready")
    page.evaluate(STILL)
    picture = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    if name.startswith("bench-offline"):
        bench_online_again(page)
    if name.startswith("bench-odd"):
        bench_even_again(page)
    few = picture.quantize(COLOURS, dither=Image.Dither.NONE)
    few.save(PICTURES / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main()
