"""The real app in a process of its own, and the bench page in a real browser."""

from __future__ import annotations

import json
import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    Page,
    expect,
    sync_playwright,
)
from playwright.sync_api import (
    TimeoutError as TooLate,
)

EXAMPLE = Path(__file__).parents[3] / "examples" / "clean-pool-granules"
CHROMIUM = "/usr/bin/chromium"
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--ignore-certificate-errors",
    # A name of the room: to the browser it is not this machine, so plain http is not secure there.
    "--host-resolver-rules=MAP lab.test 127.0.0.1",
]  # fmt: skip
ROOM_NAME = "lab.test"
N_GROUPS = 40
PHONE = {
    "viewport": {"width": 390, "height": 844},
    "has_touch": True,
    "is_mobile": True,
    # Smooth scrolling is time that a test would wait.
    "reduced_motion": "reduce",
}
SENT = "All is sent."
IS_TEXT = """([selector, text]) => !document.querySelector("[aria-busy='true']")
    && document.querySelector(selector)?.textContent === text"""
# A busy machine is slow, not wrong.
expect.set_options(timeout=15_000)


@dataclass
class Site:
    """A running app.

    Attributes
    ----------
    address : str
        As the browser calls it.
    folder : Path
    port : int
    lines : list of str
        What the terminal showed.
    process : subprocess.Popen
    balance : int
        The far end of the port with the balance: what is written to it, the balance shows.
    """

    address: str
    folder: Path
    port: int
    lines: list[str]
    process: subprocess.Popen[str]
    n_given: int = 0
    balance: int = -1

    @property
    def shares(self) -> bool:
        return ROOM_NAME in self.address

    @property
    def secret(self) -> str:
        return next(line for line in self.lines if "Secret" in line).rsplit(" ", 1)[-1]

    def code(self, group: str) -> str:
        return next(line for line in self.lines if f"group {group}:" in line).rsplit(" ", 1)[-1]

    def new_group(self) -> str:
        """Return a group that no other test has worked with."""
        self.n_given += 1
        assert self.n_given <= N_GROUPS
        return str(self.n_given)


@dataclass
class Bench:
    """One device with the bench page open."""

    site: Site
    group: str
    context: BrowserContext
    page: Page
    faults: list[str] = field(default_factory=list)
    sent: list[str] = field(default_factory=list)

    def open(self, run: str = "") -> None:
        query = "" if self.site.shares else f"?group={self.group}"
        self.page.goto(f"{self.site.address}/bench{'/' + run if run else ''}{query}")
        self.page.wait_for_selector("#work:not([hidden])")

    def join(self) -> None:
        """Join by the code of the group, as a person does."""
        self.page.goto(f"{self.site.address}/join")
        self.page.get_by_label("Code of your group").fill(self.site.code(self.group))
        self.page.get_by_role("button", name="Join").click()
        self.page.wait_for_selector("#work:not([hidden])")

    def type(self, text: str) -> None:
        """Type into the page and press Enter, wherever the focus is."""
        self.page.keyboard.type(text)
        self.page.keyboard.press("Enter")

    def tap(self, text: str) -> None:
        """Tap a number on the pad, then Keep."""
        for character in text:
            self.page.locator(f"[data-key='{character}']").tap()
        self.page.locator("#keep").tap()

    def asks(self, label: str) -> None:
        """Wait until the page asks for this."""
        self._until(IS_TEXT, ["#asks-what", label])
        expect(self.page.locator("#asks-what")).to_have_text(label)

    def says(self, text: str) -> None:
        """Wait until the page says how it stands with the server, after what was typed."""
        self._until(IS_TEXT, ["#net", text])
        expect(self.page.locator("#panel")).not_to_have_attribute("aria-busy", "true")
        expect(self.page.locator("#net")).to_have_text(text)

    def _until(self, condition: str, given: list[str]) -> None:
        """Wait with a look at every frame; an expectation waits longer from look to look."""
        with suppress(TooLate):
            self.page.wait_for_function(condition, arg=given)

    def settled(self) -> None:
        """Wait until nothing waits on the device."""
        self.says(SENT)

    def runs(self) -> dict[str, dict[str, Any]]:
        """Return the runs as the server has them."""
        ask = "async (group) => (await fetch(`/api/series?group=${group}`)).json()"
        view = self.page.evaluate(ask, self.group)
        return {run["run"]: run for run in view["runs"]}

    def counting(self, run: str) -> list[tuple[str, str]]:
        """Return what counts in a run on the server: quantity and number, in order of time."""
        readings = self.runs()[run]["readings"]
        return [(one["quantity"], one["number"]) for one in readings if one["current"]]

    def worker_is_ready(self) -> None:
        """Wait until a reload would work without a network."""
        ready = """async () => {
            const key = location.pathname.replace(/^\\/bench\\/.*$/, '/bench') + location.search;
            while (!navigator.serviceWorker.controller || !await caches.match(key)) {
                await new Promise((resolve) => setTimeout(resolve, 50));
            }
        }"""
        self.page.evaluate(ready)


@contextmanager
def run_app(folder: Path, *options: str, port: int = 0) -> Iterator[Site]:
    """Run the app until the end of the block."""
    port = port or _free_port()
    program = str(Path(sys.executable).with_name("tarebook"))
    command = [program, "bench", str(folder), "--no-browser"]
    is_shared = "--share" in options
    command += ["--name", ROOM_NAME] if is_shared else []
    process = subprocess.Popen(
        [*command, "--port", str(port), "--groups", str(N_GROUPS), *options],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )
    assert process.stdout is not None
    lines: list[str] = []
    try:
        for line in process.stdout:
            lines.append(line.rstrip())
            if line.startswith("Stop with"):
                break
        assert process.poll() is None, "\n".join(lines)
        scheme = "https" if "--https" in options else "http"
        host = ROOM_NAME if is_shared else "localhost"
        _answers(port)
        yield Site(f"{scheme}://{host}:{port}", folder, port, lines, process)
    finally:
        process.kill()
        process.wait()
        process.stdout.close()


def _answers(port: int) -> None:
    """Wait until the port is listened on."""
    for _ in range(200):
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.05)
    raise AssertionError("the app does not listen")


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def _folder(place: Path) -> Path:
    place.mkdir()
    shutil.copy(EXAMPLE / "experiment.toml", place)
    return place


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    if not Path(CHROMIUM).exists():
        words = f"{CHROMIUM} is not here: the bench page was not tried (apt-get install chromium)"
        (pytest.fail if os.environ.get("CI") else pytest.skip)(words)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def alone(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """The app for whoever sits at the machine: localhost, no login, a balance; group 1 is done.

    A pseudo terminal stands for the port of the balance.
    """
    place = _folder(tmp_path_factory.mktemp("alone") / "pool")
    shutil.copy(EXAMPLE / "readings.csv", place)
    far, near = os.openpty()
    try:
        with run_app(place, "--balance", os.ttyname(near)) as site:
            site.n_given, site.balance = 1, far
            yield site
    finally:
        os.close(near)
        os.close(far)


@pytest.fixture(scope="session")
def room(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """The app on the room's network over plain http: no service worker, no secure context."""
    with run_app(_folder(tmp_path_factory.mktemp("room") / "pool"), "--share") as site:
        yield site


@pytest.fixture(scope="session")
def safe_room(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """The app on the room's network with a certificate of its own."""
    place = _folder(tmp_path_factory.mktemp("safe") / "pool")
    with run_app(place, "--share", "--https") as site:
        yield site


@pytest.fixture
def own_app() -> Callable[..., Any]:
    """Runs an app that a test may kill."""
    return run_app


@pytest.fixture
def device(chromium: Browser) -> Iterator[Callable[..., Bench]]:
    """Makes devices; at the end none of their pages may have had a fault."""
    made: list[Bench] = []
    with ExitStack() as stack:

        def make(site: Site, group: str = "", **options: Any) -> Bench:
            context = chromium.new_context(**{"ignore_https_errors": True, **PHONE, **options})
            stack.callback(context.close)
            context.set_default_timeout(10_000)
            page = context.new_page()
            bench = Bench(site, group or site.new_group(), context, page)
            page.on("pageerror", lambda error: bench.faults.append(str(error)))
            context.on(
                "requestfinished",
                lambda request: (
                    bench.sent.extend(_ids(request.post_data or ""))
                    if request.url.endswith("/api/events")
                    else None
                ),
            )
            made.append(bench)
            return bench

        yield make
    assert [fault for bench in made for fault in bench.faults] == []


def _ids(body: str) -> list[str]:
    return [event["id"] for event in json.loads(body)["events"]] if body else []
