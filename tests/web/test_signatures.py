"""Devices sign what they record: the server asks for it, and whoever alters the store is found."""

from __future__ import annotations

import datetime as dt
import json
import sqlite3
import uuid
import zipfile
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from sqlalchemy import create_engine, insert
from starlette.testclient import TestClient
from tests.memory_log import MemoryLog

from tarebook.api import bench, exchange
from tarebook.api.anchors import ANCHORS
from tarebook.api.bench import signing
from tarebook.api.folder import STORE
from tarebook.api.open_record import open_log
from tarebook.api.verify import verify
from tarebook.records.chain import canonical, first_hash, hash_of, received_of
from tarebook.records.errors import BrokenArchiveError
from tarebook.records.events import event_of, object_of, time_text
from tarebook.records.store.schema import APPLICATION_ID, EVENTS, EXPERIMENTS
from tarebook.records.store.tables import upgrade
from tarebook.web.app import build_app
from tarebook.web.settings import Settings

from .conftest import Browser, event


class Phone:
    """A device with a key of its own, as the page makes and uses it."""

    def __init__(self, name: str = "phone-abcd") -> None:
        self.name, self._secret = name, Ed25519PrivateKey.generate()
        self.public = self._secret.public_key().public_bytes_raw().hex()

    def _signature(self, said: dict[str, Any]) -> str:
        text = json.dumps(said, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
        return self._secret.sign(f"tarebook event\n{text}".encode()).hex()

    def key(self, group: str = "1", taken: str = "2026-10-05T12:00:00.000Z") -> dict[str, Any]:
        id_ = str(uuid.uuid4())
        said = {
            "id": id_, "kind": "reading", "group": "*", "run": "*", "column": "key", "repeat": 1,
            "typed": self.public, "who": group, "device": self.name, "supersedes": "",
            "reason": "", "taken": taken.replace("Z", "000Z"),
        }  # fmt: skip
        signature = self._signature(said)
        return {
            "id": id_, "typed": self.public, "taken_at": taken, "device": self.name,
            "signature": signature,
        }  # fmt: skip

    def event(self, run: str, quantity: str, typed: str, group: str = "1") -> dict[str, Any]:
        made = event(run, quantity, typed, device=self.name, taken_at="2026-10-05T12:01:00.000Z")
        said = {
            "id": made["id"], "kind": "reading", "group": group, "run": run, "column": quantity,
            "repeat": 1, "typed": typed, "who": made["who"], "device": self.name,
            "supersedes": "", "reason": "", "taken": "2026-10-05T12:01:00.000000Z",
        }  # fmt: skip
        return {**made, "signer": self.public, "signature": self._signature(said)}


@pytest.fixture
def browser(workspace: bench.Workspace) -> Browser:
    app = build_app(workspace, Settings(port=8420, shares=False, https=False, address=""))
    client = TestClient(app, base_url="http://localhost:8420", client=("127.0.0.1", 50000))
    made = Browser(client)
    made.csrf = made.get("/api/series").json()["csrf"]
    return made


def _acknowledged(answer: Any) -> tuple[int, int]:
    assert answer.status_code == 200, answer.text
    done = answer.json()
    return len(done["acknowledged"]), len(done["refused"])


def test_what_is_signed_is_taken_and_what_is_not_is_refused(
    browser: Browser, workspace: bench.Workspace
) -> None:
    phone, other = Phone(), Phone("phone-other")
    good = phone.event("1", "tare_g", "15,790 g")
    assert _acknowledged(browser.send(good, key=phone.key())) == (1, 0)
    # Told again it is known, and what came comes again.
    n = workspace.head()
    assert _acknowledged(browser.send(good, key=phone.key())) == (1, 0)
    assert workspace.head() == n
    whole = phone.event("1", "diluent_mL", "34.5")
    unsigned = {name: whole[name] for name in whole if name not in ("signer", "signature")}
    for wrong in (
        unsigned,
        {**whole, "typed": "35.5"},
        {**whole, "run": "2"},
        {**whole, "who": "C. D."},
        {**whole, "taken_at": "2026-10-05T12:02:00.000Z"},
        {**whole, "signature": "0" * 128},
        {**whole, "signature": "x"},
        {**whole, "signature": None},
        {**whole, "signer": other.public},
        {**other.event("1", "diluent_mL", "34.5"), "device": phone.name},
        # It has no key here yet.
        other.event("1", "diluent_mL", "34.5"),
        phone.event("1", "diluent_mL", "34.5", group="2"),
    ):
        answer = browser.send(wrong)
        assert _acknowledged(answer) == (0, 1), wrong
        assert (
            "signature" in answer.json()["refused"][0]["message"]
            or "signer" in (answer.json()["refused"][0]["message"])
        )
    assert _acknowledged(browser.send(whole)) == (1, 0)
    assert _acknowledged(browser.send(event("1", "minutes", "9", device="tablet"))) == (1, 0)


def test_a_key_counts_only_with_its_own_signature(
    browser: Browser, workspace: bench.Workspace, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone, other = Phone(), Phone()
    before = workspace.head()
    wrong: object
    for wrong in (
        "x", 1, [], {}, {**phone.key(), "typed": other.public}, {**phone.key(), "device": "b"},
        {**phone.key(), "signature": "0" * 128}, {**phone.key(), "more": 1},
        {**phone.key(), "taken_at": "then"}, phone.key(group="2"),
    ):  # fmt: skip
        assert browser.send(key=wrong).status_code == 400
    assert workspace.head() == before
    monkeypatch.setattr(signing, "MOST_KEYS", 2)
    assert browser.send(key=phone.key()).status_code == 200
    # Another device of the same name shuts nobody out.
    assert browser.send(key=other.key()).status_code == 200
    assert _acknowledged(browser.send(phone.event("1", "tare_g", "15.790"))) == (1, 0)
    assert _acknowledged(browser.send(other.event("2", "tare_g", "15.790"))) == (1, 0)
    assert browser.send(key=Phone().key()).status_code == 400
    # Another group has room of its own.
    assert browser.send(key=Phone().key(group="2"), group="2").status_code == 200


def test_verify_says_who_signed(browser: Browser, workspace: bench.Workspace) -> None:
    phone = Phone()
    browser.send(event("1", "minutes", "9", device="tablet"))
    # What was under way when the key was noted is not held against it.
    browser.send(event("2", "minutes", "9", device=phone.name))
    browser.send(phone.event("1", "tare_g", "15.790"), key=phone.key())
    verdict = verify(workspace.folder).verdict
    assert (verdict.whole, verdict.n_signed) == (True, 2)
    assert verdict.unsigned == (("bench", 1), (phone.name, 1), ("tablet", 1))


def _recorded(browser: Browser, workspace: bench.Workspace) -> None:
    phone = Phone()
    browser.send(event("1", "minutes", "9", device="tablet"))
    browser.send(
        *(phone.event(str(run), "tare_g", "15.790") for run in range(1, 9)), key=phone.key()
    )
    workspace.opened.log.close()


def _write_anew(folder: Path, sequence: int, **changed: str) -> None:
    """Alter an event and chain the whole record anew, as somebody may who has the store."""
    with closing(open_log(folder, mode="read")) as log:
        lines, key = [link.line for link in log.links()], log.experiment
    (folder / ANCHORS).unlink(missing_ok=True)
    (folder / f"{STORE}-last").unlink(missing_ok=True)
    with closing(sqlite3.connect(folder / STORE)) as raw, raw:
        guards = raw.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in guards:
            raw.execute(f"DROP TRIGGER {name}")
        previous = first_hash(key)
        for number, line in enumerate(lines, start=1):
            values = json.loads(line) | {"previous": previous}
            values |= changed if number == sequence else {}
            values = {name: value for name, value in values.items() if value != "-"}
            previous, before = hash_of(canonical(values)), previous
            raw.execute(
                "UPDATE event SET typed = ?, number = ?, device = ?, signer = ?, signature = ?, "
                "previous = ?, hash = ? WHERE sequence = ?",
                (values["typed"], values["number"], values["device"], values.get("signer", ""),
                 values.get("signature", ""), before, previous, number),
            )  # fmt: skip
        for _, sql in guards:
            raw.execute(sql)


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({"typed": "16.790", "number": "16.790"}, "its signature does not fit"),
        ({"number": "16.790"}, "its signature does not fit"),
        ({"signature": "0" * 128}, "its signature does not fit"),
        ({"signer": "0" * 64}, "it is signed with a key that phone-abcd did not have"),
        ({"device": "phone-x"}, "it is signed with a key that phone-x did not have"),
    ],
)
def test_what_is_altered_and_chained_anew_is_found(
    browser: Browser, workspace: bench.Workspace, changed: dict[str, str], fault: str
) -> None:
    _recorded(browser, workspace)
    # Nothing but the signature tells that something was altered.
    _write_anew(workspace.folder, 2, typed="99", number="99")
    assert verify(workspace.folder).verdict.whole
    _write_anew(workspace.folder, 6, **changed)
    assert verify(workspace.folder).verdict.fault == f"event 6 was altered: {fault}"


def test_a_signature_taken_away_is_found(browser: Browser, workspace: bench.Workspace) -> None:
    phone = Phone()
    browser.send(key=phone.key())
    late = dt.datetime.now(dt.UTC) + dt.timedelta(minutes=5)
    sent = [phone.event("1", "tare_g", "15.790")]
    bench.record_events(workspace, "1", sent, now=late)
    workspace.opened.log.close()
    _write_anew(workspace.folder, 3, signer="-", signature="-", typed="16.790", number="16.790")
    fault = "event 3 was altered: it is not signed, and phone-abcd signs what it records"
    assert verify(workspace.folder).verdict.fault == fault


def test_an_archive_carries_the_signatures_and_an_import_looks_at_them(
    browser: Browser, workspace: bench.Workspace, tmp_path: Path
) -> None:
    _recorded(browser, workspace)
    folder, archive = workspace.folder, tmp_path / "whole.zip"
    exchange.export_archive(folder, archive)
    with zipfile.ZipFile(archive) as packed:
        lines = packed.read("events.jsonl").decode().splitlines()
    signed = [line for line in lines if '"signature":"' in line]
    assert len(signed) == 9
    assert all(received_of(line).event.signature for line in signed)
    exchange.import_archive(tmp_path / "new", archive)
    assert verify(tmp_path / "new").verdict.n_signed == 9
    again = exchange.export_archive(tmp_path / "new", tmp_path / "again.zip")
    with zipfile.ZipFile(again) as packed:
        assert packed.read("events.jsonl").decode().splitlines() == lines
    _write_anew(folder, 6, typed="16.790", number="16.790")
    exchange.export_archive(folder, tmp_path / "altered.zip")
    with pytest.raises(BrokenArchiveError, match="event 6 was altered: its signature"):
        exchange.import_archive(tmp_path / "other", tmp_path / "altered.zip")
    assert not (tmp_path / "other").exists()


def _record_of_version_2(store: Path) -> None:
    """Make a record as it was before devices signed anything."""
    log = MemoryLog(str(uuid.uuid4()))
    now = dt.datetime.now(dt.UTC)
    for run in ("1", "2", "3"):
        given = {
            "id": str(uuid.uuid4()), "kind": "reading", "group": "1", "run": run,
            "column": "tare_g", "typed": "15.790", "device": "phone",
            "taken": "2026-10-05T12:00:00Z",
        }  # fmt: skip
        log.append([event_of(given)], now=now)
    engine = create_engine(f"sqlite:///{store}")
    with engine.begin() as connection:
        upgrade(connection, "0002")
        connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
        row = {"number": 1, "key": log.experiment, "created": time_text(now)}
        connection.execute(insert(EXPERIMENTS).values(row))
        for one in log.events():
            place = {"experiment": 1, "sequence": one.sequence, "received": time_text(now)}
            row = {**object_of(one.event), **place, "previous": one.previous, "hash": one.hash}
            connection.execute(insert(EVENTS).values(row))
    engine.dispose()


def test_a_record_from_before_stays_whole_and_takes_signatures(folder: Path) -> None:
    _record_of_version_2(folder / STORE)
    for mode in ("read", "write"):
        found = verify(folder).verdict
        assert (found.whole, found.n_signed, found.head.count) == (True, 0, 3)
        assert found.unsigned == (("phone", 3),)
        with closing(open_log(folder, mode=mode)) as log:
            assert [one.event.signature for one in log.events()] == ["", "", ""]
    phone = Phone()
    with bench.open_workspace(folder, workers=False) as workspace:
        sent = [phone.event("4", "tare_g", "15.790")]
        done = bench.record_events(workspace, "1", sent, key=phone.key())
        assert len(done["acknowledged"]) == 1
    assert verify(folder).verdict.n_signed == 2
