"""The locked parts: licensed, listed, compared with known faults, installable as the words say."""

from __future__ import annotations

import hashlib
import json
import re
import threading
import zipfile
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, HTTPServer
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

import pytest
from scripts import advisories, licenses
from scripts.locks import LOCKS, TOP, Part, parts

LOCKED = parts()
PAGE = licenses.PAGE.read_text(encoding="utf-8")


def test_every_line_of_every_lock_is_pinned_with_a_hash() -> None:
    for lock in LOCKS:
        text = (TOP / lock).read_text(encoding="utf-8")
        entries = re.split(r"\n(?=\S)", text.strip())
        assert len(entries) > 30
        for entry in entries:
            assert re.match(r"\S+==\S+", entry), entry
            assert "--hash=sha256:" in entry, entry
            assert "://" not in entry, entry


def test_the_parts_that_run_are_the_same_in_every_lock() -> None:
    by_lock = {
        lock: set(re.findall(r"^\S+==\S+", (TOP / lock).read_text(), re.M)) for lock in LOCKS
    }
    run = by_lock["requirements.lock"]
    assert run <= by_lock["requirements-department.lock"]
    assert run <= by_lock["requirements-test.lock"]
    # The tests build the site too.
    assert by_lock["requirements-docs.lock"] <= by_lock["requirements-test.lock"]
    assert {name.split("==")[0] for name in by_lock["requirements-department.lock"] - run} == {
        "psycopg",
        "psycopg-binary",
        "tzdata",
    }


@pytest.mark.parametrize("part", LOCKED, ids=lambda part: f"{part.name}-{part.version}")
def test_every_part_has_a_license_file_and_stands_in_the_list(part: Part) -> None:
    found = licenses.licensed(part)
    assert found.files
    assert f"| {part.name} | {part.version} | {found.license} |" in PAGE
    if part.name in licenses.KEPT:
        text = (licenses.FOLDER / found.files[0]).read_text(encoding="utf-8")
        assert "copyright" in text.lower()
        assert len(text) > 500


def test_the_list_names_no_part_that_is_not_locked() -> None:
    rows = re.findall(r"^\| (\S+) \| (\S+) \|", PAGE, re.M)
    here = {(name, at) for name, at, *_ in licenses.VENDORED}
    assert {(name, at) for name, at in rows if at[0].isdigit()} == here | {
        (part.name, part.version) for part in LOCKED
    }


@pytest.mark.parametrize("part", licenses.VENDORED, ids=lambda part: part[0])
def test_a_part_that_stands_here_is_as_it_was_released(
    part: tuple[str, str, str, str, str],
) -> None:
    name, version, license_, place, digest = part
    assert hashlib.sha256((TOP / place).read_bytes()).hexdigest() == digest
    text = (licenses.FOLDER / f"{name}.txt").read_text(encoding="utf-8")
    assert ("Apache License" if license_ == "Apache-2.0" else "public domain") in text
    assert f"| {name} | {version} | {license_} | [{name}.txt]({name}.txt) | `{place}` |" in PAGE


def test_a_part_without_a_license_stops_the_list(monkeypatch: pytest.MonkeyPatch) -> None:
    bare = Part("no-such-part", "1.0", "to run", "")
    monkeypatch.setattr(licenses, "parts", lambda: [*LOCKED, bare])
    with pytest.raises(licenses.UnlicensedError, match=r"no-such-part 1\.0"):
        licenses.page()


def test_what_is_installed_is_what_the_lock_says() -> None:
    told = {part.name: set[str]() for part in LOCKED}
    for part in LOCKED:
        told[part.name].add(part.version)
    for name, allowed in told.items():
        try:
            assert version(name) in allowed
        except PackageNotFoundError:
            assert all(part.where for part in LOCKED if part.name == name), name


def test_the_driver_is_installed_from_this_repository() -> None:
    """No page, message or example tells a person to install a name that nobody holds yet."""
    for file in [*TOP.glob("*.md"), *TOP.glob("docs/**/*.md"), *TOP.glob("src/**/*.py")]:
        if file.name != "CHANGELOG.md":
            assert "tarebook[" not in file.read_text(encoding="utf-8"), file
    assert "make department" in (TOP / "docs" / "record.md").read_text(encoding="utf-8")
    assert "requirements-department.lock" in (TOP / "Makefile").read_text(encoding="utf-8")


class _Advisories(BaseHTTPRequestHandler):
    """Answers as the public list does: one result for each question, long ones in pages."""

    asked: list[dict[str, Any]]
    known: dict[str, list[str]]

    def do_POST(self) -> None:
        question = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
        self.asked.append(question)
        results = []
        for query in question["queries"]:
            ids = self.known.get(query["package"]["name"], [])
            page = int(query.get("page_token", 0))
            result: dict[str, Any] = {"vulns": [{"id": one} for one in ids[page : page + 1]]}
            if len(ids) > page + 1:
                result["next_page_token"] = str(page + 1)
            results.append(result if result["vulns"] else {})
        answer = json.dumps({"results": results}).encode()
        self.send_response(200)
        self.send_header("Content-Length", str(len(answer)))
        self.end_headers()
        self.wfile.write(answer)

    def log_message(self, *_: Any) -> None:
        """Say nothing."""


@pytest.fixture
def server() -> Iterator[tuple[str, type[_Advisories]]]:
    handler = type("Handler", (_Advisories,), {"asked": [], "known": {}})
    running = HTTPServer(("127.0.0.1", 0), handler)
    thread = threading.Thread(target=running.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{running.server_port}", handler
    running.shutdown()
    running.server_close()
    thread.join()


def test_known_faults_are_named(
    server: tuple[str, type[_Advisories]], capsys: pytest.CaptureFixture[str]
) -> None:
    address, handler = server
    handler.known = {"numpy": ["OSV-0000-1", "OSV-0000-2"]}
    assert advisories.main(["--at", address]) == 1
    said = capsys.readouterr().out
    assert said.count("OSV-0000-1, OSV-0000-2") == len([p for p in LOCKED if p.name == "numpy"])
    names = {query["package"]["name"] for query in handler.asked[0]["queries"]}
    assert names == {part.name for part in LOCKED}


def test_nothing_known_is_said_with_the_number_compared(
    server: tuple[str, type[_Advisories]], capsys: pytest.CaptureFixture[str]
) -> None:
    assert advisories.main(["--at", server[0]]) == 0
    assert f"{len(LOCKED)} locked parts compared" in capsys.readouterr().out


def test_where_no_list_answers_it_is_said_that_nothing_was_compared(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert advisories.main(["--at", "http://127.0.0.1:9"]) == advisories.NOT_COMPARED
    assert "Nothing was compared" in capsys.readouterr().err
    broken = tmp_path / "list.zip"
    broken.write_text("no zip")
    assert advisories.main(["--list", str(broken)]) == advisories.NOT_COMPARED
    assert "Nothing was compared" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("affected", "struck"),
    [
        ({"versions": ["2.0.0"]}, True),
        ({"versions": ["1.9"]}, False),
        ({"ranges": [["introduced", "0"], ["fixed", "2.0.1"]]}, True),
        ({"ranges": [["introduced", "0"], ["fixed", "2.0.0"]]}, False),
        ({"ranges": [["introduced", "2.0.0"]]}, True),
        ({"ranges": [["introduced", "2.0.1"]]}, False),
        ({"ranges": [["introduced", "1.0"], ["last_affected", "2.0.0"]]}, True),
        ({"ranges": [["introduced", "1.0"], ["last_affected", "1.9"]]}, False),
        (
            {
                "ranges": [
                    ["introduced", "0"],
                    ["fixed", "1.5"],
                    ["introduced", "1.9"],
                    ["fixed", "3"],
                ]
            },
            True,
        ),
    ],
)
def test_a_saved_list_is_read_by_versions_and_ranges(
    affected: dict[str, Any], struck: bool, tmp_path: Path
) -> None:
    spans = (
        [{"type": "ECOSYSTEM", "events": [{kind: at} for kind, at in affected["ranges"]]}]
        if "ranges" in affected
        else []
    )
    record = {
        "id": "OSV-0000-3",
        "affected": [
            {
                "package": {"ecosystem": "PyPI", "name": "Some_Part"},
                "versions": affected.get("versions", []),
                "ranges": spans,
            }
        ],
    }
    file = tmp_path / "list.zip"
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr("OSV-0000-3.json", json.dumps(record))
        archive.writestr("OSV-0000-4.json", json.dumps(record | {"withdrawn": "2020-01-01"}))
    part = Part("some-part", "2.0.0", "to run", "")
    expected = {part: ["OSV-0000-3"]} if struck else {}
    assert advisories.kept(file, [part, Part("other", "2.0.0", "to run", "")]) == expected
