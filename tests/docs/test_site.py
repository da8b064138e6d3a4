"""The site of the docs: built without a warning, whole, searched from the disk, offline."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from playwright.sync_api import expect, sync_playwright
from tests.own_thread import in_own_thread

TOP = Path(__file__).parents[2]
CHROMIUM = "/usr/bin/chromium"
LOADS = {"script": "src", "img": "src", "source": "src", "iframe": "src", "video": "src"}
"""Elements that fetch by themselves, each with the attribute that says what."""


@dataclass
class Page(HTMLParser):
    """Ids of a page, what it leads to, what it fetches."""

    html: str
    ids: set[str] = field(default_factory=set)
    links: list[str] = field(default_factory=list)
    fetched: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__()
        self.feed(self.html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        has = {name: value or "" for name, value in attrs}
        if "id" in has:
            self.ids.add(has["id"])
        if tag == "a" and "href" in has:
            self.links.append(has["href"])
        if tag in LOADS and LOADS[tag] in has:
            self.fetched.append(has[LOADS[tag]])
        if tag == "link" and {"stylesheet", "icon", "preload"} & set(has.get("rel", "").split()):
            self.fetched.append(has["href"])


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("site")
    asked = ["-W", "--keep-going", "-q", "-b", "html", "-d", str(made / "read"), "docs"]
    done = subprocess.run(
        [sys.executable, "-m", "sphinx", *asked, str(made / "html")],
        cwd=TOP, capture_output=True, text=True, check=False, timeout=300,
    )  # fmt: skip
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    return made / "html"


@pytest.fixture(scope="module")
def pages(site: Path) -> dict[Path, Page]:
    return {path: Page(path.read_text(encoding="utf-8")) for path in site.rglob("*.html")}


def test_every_page_is_in_it(pages: dict[Path, Page], site: Path) -> None:
    docs = TOP / "docs"
    written = {path.relative_to(docs).with_suffix(".html") for path in docs.rglob("*.md")}
    assert len(written) > 30
    assert written <= {path.relative_to(site) for path in pages}


def test_every_link_and_picture_leads_somewhere(pages: dict[Path, Page]) -> None:
    wrong, seen = [], 0
    for path, page in pages.items():
        for address in (*page.links, *page.fetched):
            parts = urlsplit(address)
            if parts.scheme:
                continue
            seen += 1
            target = (path.parent / unquote(parts.path)).resolve() if parts.path else path
            is_there = target in pages if target.suffix == ".html" else target.is_file()
            has_anchor = target not in pages or parts.fragment in pages[target].ids | {""}
            if not (is_there and has_anchor):
                wrong.append(f"{path.name}: {address}")
    assert wrong == []
    assert seen > 1000


def test_nothing_is_fetched_from_elsewhere(pages: dict[Path, Page], site: Path) -> None:
    for page in pages.values():
        assert [
            address for address in page.fetched if urlsplit(address).scheme not in ("", "data")
        ] == []
    for style in site.rglob("*.css"):
        text = style.read_text(encoding="utf-8")
        fetched = re.findall(r"(?:@import\s+|url\()[\"']?(?!data:|#)([^\"')]+)", text)
        assert [
            address for address in fetched if urlsplit(address).scheme or address.startswith("//")
        ] == []


def test_it_is_searched_by_typing_from_the_disk(site: Path) -> None:
    asked, said = in_own_thread(lambda: _search(site))
    assert said == []
    assert asked
    assert {urlsplit(address).scheme for address in asked} <= {"file", "data"}


def _search(site: Path) -> tuple[list[str], list[str]]:
    """Return what the browser asked for and what it complained of."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        page = browser.new_page()
        asked: list[str] = []
        said: list[str] = []
        page.on("request", lambda request: asked.append(request.url))
        page.on("console", lambda message: said.append(message.text))
        page.goto((site / "index.html").as_uri())
        page.locator(".sidebar-search").fill("meniscus")
        page.keyboard.press("Enter")
        found = page.locator("#search-results li a")
        expect(found.first).to_be_visible()
        expect(page.locator("#search-results")).to_contain_text("Slips")
        found.first.click()
        page.wait_for_url(re.compile(r"/(findings|slips)\.html"))
        expect(page.locator("main, article").first).to_contain_text("meniscus")
        browser.close()
    return asked, said
