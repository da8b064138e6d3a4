"""Archives: the same bytes back, and every change to one is found."""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import json
import math
import uuid
import zipfile
from collections.abc import Callable
from typing import Any

import pytest
from tests.memory_log import MemoryLog

from tarebook.records.archive import (
    EVENTS,
    MANIFEST,
    Archive,
    archive_of,
    files_of,
    pack,
    unpack,
    verify_files,
)
from tarebook.records.errors import BrokenArchiveError
from tarebook.records.events import event_of

KEY = "6d0a4a5e-9a51-4f6f-8f3f-7a100b8f3c1e"
NOW = dt.datetime(2026, 10, 5, 12, 0, tzinfo=dt.UTC)
NAME = "x.zip"
DEFINITION = 'title = "Granules"  # with a remark, ü\r\n'.encode()


def archive(groups: str = "3") -> Archive:
    log = MemoryLog(KEY)
    for number, group in enumerate(groups * 2, start=1):
        given = {
            "id": str(uuid.UUID(int=number, version=4)),
            "kind": "reading",
            "group": group,
            "run": str(number % 2 + 1),
            "column": "tare_g",
            "typed": f"12,3{number} g",
            "device": "phone",
            "taken": NOW.isoformat(),
        }
        log.append([event_of(given)], now=NOW)
    return Archive(
        experiment=KEY,
        title="Granules, “invented”",
        definition=DEFINITION,
        planned=("1", "2", "3"),
        events=log.events(),
        made=NOW,
        made_by="tarebook 0.1.0",
    )


@pytest.mark.parametrize("groups", ["", "3", "345"])
def test_an_archive_is_read_back_and_gives_the_same_bytes(groups: str) -> None:
    made = archive(groups)
    files = files_of(made)
    packed = pack(files)
    again = archive_of(unpack(packed, NAME), NAME)
    assert again == made
    assert pack(files_of(again)) == packed
    verdict = verify_files(files, NAME)
    assert verdict.whole
    assert verdict.head.count == len(made.events)


def test_what_is_in_it() -> None:
    files = files_of(archive("39"))
    assert list(files) == [
        "manifest.json",
        "experiment.toml",
        "events.jsonl",
        "READ-ME.txt",
        "readings-1.csv",
        "readings-2.csv",
    ]
    assert files["experiment.toml"] == DEFINITION
    assert files["readings-2.csv"].decode() == (
        "run,tare_g,tare_g_2,reagent_mL,diluent_mL,vessel_liquid_g,sample_g,final_g,"
        "temperature_C,minutes,note\n1,12.32,12.34,,,,,,,,\n"
    )
    manifest = json.loads(files[MANIFEST])
    assert manifest["readings"] == [
        {"file": "readings-1.csv", "group": "3"},
        {"file": "readings-2.csv", "group": "9"},
    ]
    lines = files[EVENTS].decode().splitlines()
    assert [json.loads(line)["sequence"] for line in lines] == [1, 2, 3, 4]
    assert "readings.csv" in files_of(archive("3"))


Change = Callable[[dict[str, bytes]], Any]


def altered_event(files: dict[str, bytes]) -> None:
    files[EVENTS] = files[EVENTS].replace(b"12,32 g", b"12,82 g")


def dropped_event(files: dict[str, bytes]) -> None:
    lines = files[EVENTS].splitlines(keepends=True)
    files[EVENTS] = b"".join(lines[:1] + lines[2:])


def swapped_events(files: dict[str, bytes]) -> None:
    one, two, *rest = files[EVENTS].splitlines(keepends=True)
    files[EVENTS] = b"".join([two, one, *rest])


def cut_off(files: dict[str, bytes]) -> None:
    files[EVENTS] = b"".join(files[EVENTS].splitlines(keepends=True)[:-1])


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (altered_event, "event 2 was altered"),
        (dropped_event, "event 2 is missing: event 3 stands in its place"),
        (swapped_events, "event 1 is missing: event 2 stands in its place"),
        (cut_off, "event 4 is missing: there should be 4 events"),
        (lambda files: files.pop(EVENTS), "event 1 is missing"),
        (lambda files: files.update({EVENTS: files[EVENTS] + b"\n"}), "event 5 was altered"),
        (lambda files: files.update({EVENTS: files[EVENTS][:-1]}), "events.jsonl was altered"),
        (lambda files: files.update({EVENTS: b"\xff" + files[EVENTS][1:]}), "event 1 was altered"),
        (lambda files: files.update({"experiment.toml": b""}), "experiment.toml was altered"),
        (lambda files: files.pop("experiment.toml"), "experiment.toml is missing"),
        (lambda files: files.update({"readings-1.csv": b""}), "readings-1.csv was altered"),
        (lambda files: files.pop("readings-2.csv"), "readings-2.csv is missing"),
        (lambda files: files.update({"more.txt": b""}), "more.txt was added"),
    ],
)
def test_every_change_is_found(change: Change, fault: str) -> None:
    files = files_of(archive("34"))
    change(files)
    assert verify_files(files, NAME).fault.startswith(fault)
    with pytest.raises(BrokenArchiveError, match=fault.split(":", maxsplit=1)[0]):
        archive_of(files, NAME)


def with_manifest(change: Callable[[dict[str, Any]], Any]) -> dict[str, bytes]:
    files = files_of(archive("345"))
    manifest = json.loads(files[MANIFEST])
    change(manifest)
    return {**files, MANIFEST: json.dumps(manifest).encode()}


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (lambda m: m["events"].update(count=5), "event 6 was added"),
        (lambda m: m["events"].update(last="0" * 64), "event 6 was altered"),
        (lambda m: m.update(experiment=str(uuid.uuid4())), "event 1 was altered or belongs"),
        (lambda m: m.update(runs=["2", "1"]), "readings-1.csv is not what the events come to"),
        (lambda m: m["readings"].pop(), "the sheets in the list are not those"),
        (lambda m: m["files"].pop(1), "events.jsonl is not in the list"),
        (lambda m: m["files"].pop(), "readings-3.csv was added"),
    ],
)
def test_a_list_that_does_not_fit_is_found(
    change: Callable[[dict[str, Any]], Any], fault: str
) -> None:
    assert verify_files(with_manifest(change), NAME).fault.startswith(fault)


def test_a_sheet_that_was_altered_with_its_hash_is_found() -> None:
    files = files_of(archive("3"))
    old = files["readings.csv"]
    new = old.replace(b"12.31", b"12.91")
    assert new != old
    one, other = (hashlib.sha256(data).hexdigest().encode() for data in (old, new))
    forged = {**files, "readings.csv": new, MANIFEST: files[MANIFEST].replace(one, other)}
    assert verify_files(forged, NAME).fault == "readings.csv is not what the events come to"


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (lambda m: m.update(version=2), "its version is 2, and this program reads 1"),
        (lambda m: m.update(format="other"), 'does not say "format"'),
        (lambda m: m.pop("files"), "incomplete"),
        (lambda m: m.pop("title"), "incomplete"),
        (lambda m: m.update(made="today"), "incomplete"),
        (lambda m: m.update(files=[{"name": 1, "sha256": "x"}]), "incomplete"),
        (lambda m: m.update(events=None), "incomplete"),
        (lambda m: m["events"].update(count=math.inf), "incomplete"),
        (lambda m: m["events"].update(count=math.nan), "incomplete"),
        (lambda m: m.update(experiment="\ud800"), "incomplete"),
        (lambda m: m["files"].append({"name": "\ud800", "sha256": ""}), "incomplete"),
        (lambda m: m.update(made="0001-01-01T00:00+14:00"), "incomplete"),
        (lambda m: m.update(version="9" * 5000), r"9 …, and this program reads 1"),
    ],
)
def test_a_list_that_cannot_be_read(change: Callable[[dict[str, Any]], Any], fault: str) -> None:
    with pytest.raises(BrokenArchiveError, match=fault):
        verify_files(with_manifest(change), NAME)


@pytest.mark.parametrize(
    "data",
    [b"{", b"[]", b"\xff", b"null", b'"tarebook archive"', b"[" * 200_000, b'{"format":' * 100_000],
)
def test_a_list_that_is_none(data: bytes) -> None:
    with pytest.raises(BrokenArchiveError, match="does not say"):
        verify_files({MANIFEST: data}, NAME)
    with pytest.raises(BrokenArchiveError, match=r"it has no manifest\.json"):
        verify_files({}, NAME)


def test_the_end_that_was_written_down() -> None:
    made = archive()
    files = files_of(made)
    assert verify_files(files, NAME, made.events[-1].hash).whole
    assert verify_files(files, NAME, made.events[0].hash).fault.startswith("the last hash is not")


def zip_of(*files: tuple[str, bytes]) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in files:
            packed.writestr(name, data)
    return buffer.getvalue()


def test_names_in_an_archive_are_shown_without_what_a_terminal_would_obey() -> None:
    files = files_of(archive())
    assert verify_files({**files, "\x1b[2Jx": b""}, NAME).fault == "'\\x1b[2Jx' was added"
    forged = with_manifest(lambda m: m["files"].append({"name": "a\rb", "sha256": ""}))
    assert verify_files(forged, NAME).fault == "'a\\rb' is missing"


def test_no_zip_file_takes_the_program_down() -> None:
    """Every byte of one is changed in turn: it is refused, or what it says is still whole."""
    good = pack(files_of(archive()))
    for place in range(len(good)):
        data = good[:place] + bytes([good[place] ^ 0xFF]) + good[place + 1 :]
        try:
            files = unpack(data, NAME)
            verdict = verify_files(files, NAME)
        except BrokenArchiveError:
            continue
        assert not verdict.whole or files == files_of(archive())


@pytest.mark.parametrize("method", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_a_zip_file_packed_in_another_way_is_refused(method: int) -> None:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", method) as packed:
        packed.writestr(MANIFEST, b"{}")
    with pytest.raises(BrokenArchiveError, match=r"manifest\.json in it is packed in a way"):
        unpack(buffer.getvalue(), NAME)


def test_what_is_no_zip_file(monkeypatch: pytest.MonkeyPatch) -> None:
    good = pack(files_of(archive()))
    for data in (b"", b"run,tare_g\n", good[:-30], good[:40] + b"XXXX" + good[44:]):
        with pytest.raises(BrokenArchiveError, match=r"x\.zip is not a whole archive"):
            archive_of(unpack(data, NAME), NAME)
    with pytest.warns(UserWarning, match="Duplicate name"):
        twice = zip_of(("a", b"1"), ("a", b"2"))
    with pytest.raises(BrokenArchiveError, match="two files of the same name"):
        unpack(twice, NAME)
    monkeypatch.setattr("tarebook.records.archive.MOST_BYTES", 1000)
    with pytest.raises(BrokenArchiveError, match="too large"):
        unpack(zip_of(("a", b"0" * 1001)), NAME)
