"""Take pictures of every page of the app: four sizes, light and dark, into docs/pictures/app.

    .venv/bin/python scripts/picture_app.py [FOLDER]

The readings are those of the invented example, shared out among six groups with small differences,
so that every page has something to show.
"""

from __future__ import annotations

import io
import shutil
import sys
import tempfile
import threading
import time
from pathlib import Path

import numpy as np
import uvicorn
from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

from tarebook.api import bench, load
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.records.sheet import write_sheet
from tarebook.web.app import build_app
from tarebook.web.settings import Settings

ROOT = Path(__file__).parents[1]
EXAMPLE = ROOT / "examples" / "clean-pool-granules"
OUT = ROOT / "docs" / "pictures" / "app"

SIZES = {"phone": (360, 740), "tablet": (820, 1180), "desktop": (1280, 800), "wall": (1920, 1080)}
PAGES = {
    "start": "/",
    "plan": "/plan",
    "prepare": "/prepare",
    "groups": "/groups",
    "bench": "/bench/3?group=6",
    "results": "/results?group=1",
    "projector": "/projector",
}
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


def main() -> None:
    """Take all pictures."""
    out = Path(sys.argv[1]) if len(sys.argv) > 1 else OUT
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "pool"
        shutil.copytree(EXAMPLE, folder)
        with bench.open_workspace(folder) as workspace, sync_playwright() as playwright:
            fill(workspace)
            settings = Settings(port=8437, shares=True, address="http://192.168.1.20:8437")
            secret = workspace.access.new_secret()
            app = build_app(workspace, settings)
            config = uvicorn.Config(app, port=8437, log_level="error", lifespan="off", ws="none")
            server = uvicorn.Server(config)
            thread = threading.Thread(target=server.run)
            thread.start()
            while not server.started:
                time.sleep(0.05)
            browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=FLAGS)
            try:
                for scheme in ("light", "dark"):
                    take(browser, scheme, secret, out)
            finally:
                browser.close()
                server.should_exit = True
                thread.join()


def fill(workspace: bench.Workspace) -> None:
    """Let six groups record: whole series, and one that is in the middle of its third cup."""
    workspace.access.add(tuple("23456"))
    experiment, _ = load(EXAMPLE)
    truth = central_parameters(experiment).with_values(content=np.array(0.952))
    for group in "23456":
        rng = np.random.Generator(np.random.SFC64(int(group)))
        sheet = write_sheet(simulate(experiment, truth, rng).table)
        lines = sheet.splitlines()
        if group == "6":
            begun = lines[3].split(",")
            lines = [*lines[:3], ",".join([*begun[:4], *[""] * (len(begun) - 4)])]
        bench.take_sheet(workspace, group, "\n".join([*lines, ""]).encode(), "readings.csv")


def take(browser: Browser, scheme: str, secret: str, out: Path) -> None:
    """Take the pictures of one colour scheme."""
    for size, (width, height) in SIZES.items():
        context = browser.new_context(
            viewport={"width": width, "height": height},
            color_scheme="dark" if scheme == "dark" else "light",
            base_url="http://127.0.0.1:8437",
        )
        page = context.new_page()
        page.goto("/join")
        keep(page, out / f"join-{size}-{scheme}.webp")
        page.locator("summary").click()
        page.get_by_label("Secret from the terminal").fill(secret)
        page.get_by_role("button", name="Go in").click()
        for name, address in PAGES.items():
            page.goto(address)
            page.wait_for_load_state("networkidle")
            if name == "plan":
                page.locator("#part section").first.wait_for(timeout=60_000)
            if name == "results":
                page.locator("#part section").first.wait_for(timeout=60_000)
            if name == "projector":
                page.locator(".dot").nth(20).wait_for(timeout=60_000)
                page.locator("#found td:nth-child(3):text('±')").first.wait_for(timeout=60_000)
            keep(page, out / f"{name}-{size}-{scheme}.webp")
        context.close()


def keep(page: Page, path: Path) -> None:
    """Keep what is on the screen."""
    picture = Image.open(io.BytesIO(page.screenshot()))
    picture.save(path, quality=82, method=6)
    print(path.name)


if __name__ == "__main__":
    main()
