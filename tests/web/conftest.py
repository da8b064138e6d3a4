"""An open folder, the app on it, and browsers that never leave this machine."""

from __future__ import annotations

import datetime as dt
import re
import shutil
import uuid
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import httpx2
import pytest
from starlette.testclient import TestClient
from starlette.types import ASGIApp

from tarebook.api import bench
from tarebook.web.app import build_app
from tarebook.web.settings import Settings
from tarebook.web.tries import Tries

EXAMPLE = Path(__file__).parents[2] / "examples" / "clean-pool-granules"

CUP = (
    ("tare_g", "15.790"),
    ("diluent_mL", "34.5"),
    ("reagent_mL", "5.1"),
    ("vessel_liquid_g", "54.840"),
    ("sample_g", "1.488"),
    ("final_g", "56.210"),
)
"""The readings of the first cup of the example, in the order of work."""


def event(run: str, quantity: str, typed: str, **more: Any) -> dict[str, Any]:
    """Return an event as a bench page sends it."""
    return {
        "id": str(uuid.uuid4()),
        "kind": "reading",
        "run": run,
        "quantity": quantity,
        "typed": typed,
        "taken_at": dt.datetime.now(dt.UTC).isoformat(),
        "who": "A. B.",
        "device": "phone",
        **more,
    }


@dataclass
class Browser:
    """One browser: a client with its own cookies and the token of the page it has open."""

    client: TestClient
    csrf: str = field(default="")

    def get(self, address: str, **options: Any) -> httpx2.Response:
        return self.client.get(address, **options)

    def open(self, address: str = "/") -> httpx2.Response:
        """Load a page and take its token."""
        answer = self.client.get(address)
        found = re.search(r'data-csrf="([0-9a-f]{64})"', answer.text)
        assert found is not None, answer.text
        self.csrf = found[1]
        return answer

    def form(self, address: str, csrf: str | None = None, **fields: str) -> httpx2.Response:
        """Send a form from the page that is open."""
        data = {"csrf": self.csrf if csrf is None else csrf, **fields}
        return self.client.post(address, data=data, follow_redirects=False)

    def send(self, *events: dict[str, Any], **more: Any) -> httpx2.Response:
        """Send events as the bench page does."""
        headers = {"x-csrf-token": self.csrf}
        return self.client.post(
            "/api/events", json={"events": list(events), **more}, headers=headers
        )

    def join(self, code: str) -> httpx2.Response:
        """Join by a code, and take the token of the session."""
        self.open("/join")
        answer = self.form("/join", code=code)
        if answer.status_code == 303:
            self.csrf = self.get("/api/series").json()["csrf"]
        return answer


@dataclass
class Room:
    """An app that is shared, its groups and who may come in."""

    workspace: bench.Workspace
    app: ASGIApp
    secret: str
    tries: Tries
    now: list[float]
    scheme: str = "http"

    def browser(self, address: str = "192.0.2.7") -> Browser:
        """Return a new browser at an address of the room."""
        client = TestClient(
            self.app,
            base_url=f"{self.scheme}://bench.test:8420",
            client=(address, 50000),
            raise_server_exceptions=True,
            follow_redirects=False,
        )
        return Browser(client)

    def group(self, name: str) -> Browser:
        """Return a browser that has joined a group."""
        browser = self.browser()
        assert browser.join(self.workspace.access.group(name).code).status_code == 303
        return browser

    def instructor(self) -> Browser:
        """Return a browser of the instructor."""
        browser = self.browser()
        browser.open("/join")
        assert browser.form("/enter", secret=self.secret).status_code == 303
        browser.csrf = browser.get("/api/series").json()["csrf"]
        return browser


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a definition and no readings."""
    place = tmp_path / "pool"
    place.mkdir()
    shutil.copy(EXAMPLE / "experiment.toml", place)
    return place


@pytest.fixture
def workspace(folder: Path) -> Iterator[bench.Workspace]:
    with bench.open_workspace(folder, workers=False) as opened:
        opened.access.add(("2", "3"))
        yield opened


@pytest.fixture
def make_room(workspace: bench.Workspace) -> Callable[..., Room]:
    def make(*, https: bool = False) -> Room:
        now = [0.0]
        tries = Tries(clock=lambda: now[0])
        scheme = "https" if https else "http"
        settings = Settings(
            port=8420, shares=True, https=https, address=f"{scheme}://bench.test:8420"
        )
        secret = workspace.access.new_secret()
        app = build_app(workspace, settings, tries=tries)
        return Room(workspace, app, secret, tries, now, scheme)

    return make


@pytest.fixture
def room(make_room: Callable[..., Room]) -> Room:
    """The app on the room's network, with groups 1, 2 and 3."""
    return make_room()


@pytest.fixture
def alone(workspace: bench.Workspace) -> Browser:
    """The browser of whoever sits at the machine, nothing shared."""
    app = build_app(workspace, Settings(port=8420))
    client = TestClient(
        app,
        base_url="http://127.0.0.1:8420",
        client=("127.0.0.1", 50000),
        follow_redirects=False,
    )
    return Browser(client)


@pytest.fixture
def new_event() -> Callable[..., dict[str, Any]]:
    return event


@pytest.fixture
def cup() -> tuple[tuple[str, str], ...]:
    return CUP
