"""What a device was told of the record's end, shown again when it is no longer what it was."""

from __future__ import annotations

import logging
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from tarebook.api import bench
from tarebook.api.anchors import ANCHORS
from tarebook.api.backup import backup
from tarebook.api.bench.access import FILE, PLACE
from tarebook.api.bench.receipts import Receipt, signed
from tarebook.api.verify import verify
from tarebook.records.chain import Head
from tarebook.web.app import build_app
from tarebook.web.settings import Settings

from .conftest import Browser

Make = Callable[..., dict[str, Any]]
ACCESS_FILE = Path(PLACE) / FILE
PAGES = ("/", "/plan", "/groups", "/bench", "/results", "/nowhere")


def _alone(workspace: bench.Workspace) -> Browser:
    app = build_app(workspace, Settings(port=8420, shares=False, https=False, address=""))
    client = TestClient(app, base_url="http://localhost:8420", client=("127.0.0.1", 50000))
    browser = Browser(client)
    browser.csrf = browser.get("/api/series").json()["csrf"]
    return browser


def _send(browser: Browser, event: dict[str, Any], *receipts: str) -> Any:
    headers = {"x-csrf-token": browser.csrf, "x-receipts": ",".join(receipts)}
    return browser.client.post("/api/events", json={"events": [event]}, headers=headers)


@pytest.fixture
def recorded(folder: Path, new_event: Make, tmp_path: Path) -> tuple[Path, list[str]]:
    """A folder after a lesson, what two devices keep of it, and beside it an older copy."""
    with bench.open_workspace(folder, workers=False) as workspace:
        browser = _alone(workspace)
        _send(browser, new_event("1", "tare_g", "15.790"))
    shutil.copytree(folder, tmp_path / "older")
    with bench.open_workspace(folder, workers=False) as workspace:
        browser = _alone(workspace)
        receipts = [
            _send(browser, new_event(str(run), "tare_g", "15.790")).json()["receipt"]
            for run in range(2, 9)
        ]
    return folder, receipts


def _restored(folder: Path, older: Path) -> None:
    """Put an older copy of everything in the place of a folder: nothing beside it tells."""
    shutil.rmtree(folder)
    shutil.copytree(older, folder)


def test_every_answer_says_where_the_record_ends(folder: Path, new_event: Make) -> None:
    with bench.open_workspace(folder, workers=False) as workspace:
        browser = _alone(workspace)
        given = _send(browser, new_event("1", "tare_g", "15.790")).json()["receipt"]
        end = workspace.end()
        assert given.split(":")[2:4] == [str(end.count), end.hash]
        assert browser.get("/api/series").json()["receipt"] == given
        # Shown again, it is no reason for anything; nor is it when more has come since.
        assert _send(browser, new_event("2", "tare_g", "15.8"), given).status_code == 200
        assert browser.get("/api/series", headers={"x-receipts": given}).status_code == 200


def test_a_folder_that_was_restored_over_is_found_by_what_a_device_knows(
    recorded: tuple[Path, list[str]],
    new_event: Make,
    tmp_path: Path,
    caplog: pytest.LogCaptureFixture,
) -> None:
    folder, receipts = recorded
    _restored(folder, tmp_path / "older")
    assert verify(folder).verdict.whole
    with bench.open_workspace(folder, workers=False) as workspace:
        browser = _alone(workspace)
        before = workspace.head()
        assert not any("missing from the record" in browser.get(page).text for page in PAGES)
        with caplog.at_level(logging.ERROR):
            answer = _send(browser, new_event("1", "final_g", "56.210"), receipts[-1])
        assert (answer.status_code, answer.json()["error"]["code"]) == (503, "record-replaced")
        assert "event 9, which is not there" in caplog.text
        # Not only to the device that showed it: nobody's reading is taken, and all pages say why.
        assert _send(browser, new_event("1", "final_g", "56.210")).status_code == 503
        assert browser.get("/api/series").status_code == 503
        for page in PAGES:
            assert "7 events are missing from the record" in browser.get(page).text
    assert before == 2
    fault = "event 3 is missing: there were 9 events"
    assert verify(folder).verdict.fault == fault
    assert backup(folder, tmp_path / "copy.db").verdict.fault == fault


def test_begun_again_it_goes_on_and_is_not_stopped_by_what_is_known(
    recorded: tuple[Path, list[str]], new_event: Make, tmp_path: Path
) -> None:
    folder, receipts = recorded
    _restored(folder, tmp_path / "older")
    with bench.open_workspace(folder, workers=False) as workspace:
        # Not the one that was told last: others know more.
        assert _send(_alone(workspace), new_event("1", "x", "1"), receipts[2]).status_code == 503
    with bench.open_workspace(folder, workers=False) as workspace:
        browser = _alone(workspace)
        answers = [
            _send(browser, new_event("1", "final_g", "56.210"), receipt) for receipt in receipts
        ]
        assert {answer.status_code for answer in answers} == {200}
        assert "missing from the record" in browser.get("/").text
        later = answers[-1].json()["receipt"]
        kept = workspace.head()
    # Cut once more, it is news again.
    shutil.copy(folder / ANCHORS, tmp_path / ANCHORS)
    _restored(folder, tmp_path / "older")
    shutil.copy(tmp_path / ANCHORS, folder / ANCHORS)
    with bench.open_workspace(folder, workers=False) as workspace:
        assert workspace.head() < kept
        assert _send(_alone(workspace), new_event("1", "x", "1"), later).status_code == 503


def test_another_record_in_its_place_is_found_too(
    recorded: tuple[Path, list[str]], new_event: Make
) -> None:
    folder, receipts = recorded
    for file in folder.glob("tarebook.db*"):
        file.unlink()
    (folder / ANCHORS).unlink()
    with bench.open_workspace(folder, workers=False) as workspace:
        browser = _alone(workspace)
        answer = _send(browser, new_event("1", "tare_g", "15.790"), receipts[-1])
        assert answer.json()["error"]["code"] == "record-replaced"
        for page in PAGES:
            assert "not the record that was here before" in browser.get(page).text
    assert verify(folder).verdict.fault.startswith("it is another record than was in this folder")
    with bench.open_workspace(folder, workers=False) as workspace:
        browser = _alone(workspace)
        answer = _send(browser, new_event("1", "tare_g", "15.790"), receipts[-1])
        assert answer.status_code == 200
        assert "not the record that was here before" in browser.get("/").text


def test_a_record_that_was_deleted_is_said_without_any_device(
    recorded: tuple[Path, list[str]], new_event: Make
) -> None:
    folder, receipts = recorded
    (folder / "tarebook.db").unlink()
    with bench.open_workspace(folder, workers=False) as workspace:
        browser = _alone(workspace)
        assert "not the record that was here before" in browser.get("/").text
        # It is known already: no phone of the last lesson stops this one.
        sent = _send(browser, new_event("1", "tare_g", "15.790"), *receipts)
        assert sent.status_code == 200
    assert verify(folder).verdict.fault.endswith("had 9 events (missed at opening)")


def test_no_device_can_stop_a_class_with_what_was_not_signed_here(
    recorded: tuple[Path, list[str]], new_event: Make
) -> None:
    folder, receipts = recorded
    key, n_missed, _, last, signature = receipts[-1].split(":")
    with bench.open_workspace(folder, workers=False) as workspace:
        browser = _alone(workspace)
        head = Head(count=900, hash=last)
        of_another = signed(Receipt(experiment=key, n_missed=0, head=head), "another key")
        for lie in (
            f"{key}:{n_missed}:900:{last}:{signature}",
            f"{key}:{n_missed}:900:{'0' * 64}:{'0' * 64}",
            of_another, "", ":", "::::", "x" * 4000, "a:b:c:d:e:f:g", "," * 500,
        ):  # fmt: skip
            assert _send(browser, new_event("1", "final_g", "56.21"), lie).status_code == 200
        # Only so many are looked at.
        assert _send(browser, new_event("1", "final_g", "56.21"), *["x"] * 400).status_code == 200
        # Whoever has the key is believed: it is the key of the sessions too.
        real = signed(Receipt(experiment=key, n_missed=0, head=head), workspace.access.signing_key)
        assert _send(browser, new_event("1", "final_g", "56.21"), real).status_code == 503


def test_a_copied_folder_with_codes_of_its_own_is_not_stopped(
    recorded: tuple[Path, list[str]], new_event: Make
) -> None:
    folder, receipts = recorded
    (folder / ACCESS_FILE).unlink()
    for file in folder.glob("tarebook.db*"):
        file.unlink()
    with bench.open_workspace(folder, workers=False) as workspace:
        sent = _send(_alone(workspace), new_event("1", "tare_g", "15.790"), *receipts)
        assert sent.status_code == 200
