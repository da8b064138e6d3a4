"""What docs/record.md says of events, lines and archives is what they are."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import uuid
from pathlib import Path

import pytest
from tests.memory_log import MemoryLog

from tarebook.records.archive import EVENTS, MANIFEST, Archive, archive_of, files_of, pack
from tarebook.records.chain import first_hash, received_of
from tarebook.records.events import FIELDS, SIGNED_BY, Kind, event_of, time_of
from tarebook.records.sheet import HEADER

TEXT = (Path(__file__).parents[2] / "docs" / "record.md").read_text(encoding="utf-8")


def rows_after(heading: str) -> str:
    """Return the first table after a heading."""
    rest = TEXT.split(heading, 1)[1]
    return "\n".join(re.findall(r"^\|.*$", rest.split("\n\n## ")[0], re.MULTILINE))


def test_every_field_and_kind_is_explained() -> None:
    explained = set(re.findall(r"^\| `(\w+)`", rows_after("## Events"), re.MULTILINE))
    assert explained == {*FIELDS, *SIGNED_BY, "sequence", "received", "previous", *Kind}
    for column in HEADER:
        assert f"`{column}`" in rows_after("## Events")


def test_the_line_that_is_shown_is_one() -> None:
    (line,) = re.findall(r"^```json\n(.*)\n```$", TEXT, re.MULTILINE)
    (key,) = re.findall(r"with the key `([0-9a-f-]{36})`", TEXT)
    received = received_of(line)
    assert received.sequence == 1
    assert received.previous == first_hash(key)


@pytest.mark.slow
def test_an_archive_can_be_read_with_nothing_but_the_script_that_is_shown(tmp_path: Path) -> None:
    (script,) = re.findall(r"^```python\n(.*?)^```$", TEXT, re.MULTILINE | re.DOTALL)
    key = str(uuid.UUID(int=7, version=4))
    log = MemoryLog(key)
    now = time_of("2026-10-05T13:00:00Z")

    def add(number: int, **given: str | int) -> None:
        usual: dict[str, str | int] = {
            "id": str(uuid.UUID(int=number, version=4)), "kind": "reading", "group": "3",
            "run": "1", "column": "tare_g", "typed": f"12,3{number} g", "device": "phone",
            "taken": "2026-10-05T14:00:00+02:00",
        }  # fmt: skip
        log.append([event_of({**usual, **given})], now=now)

    one, two = (str(uuid.UUID(int=number, version=4)) for number in (1, 2))
    add(1)
    add(2, kind="correction", supersedes=one, reason="misread")
    add(3, kind="correction", supersedes=two, reason="misread again", typed="12.390")
    add(4, column="note", typed='smells of "vinegar"; ü')
    add(5, group="10", kind="withdrawal", supersedes=one, reason="of another group", typed="")
    add(6, group="10", repeat=2)
    archive = Archive(
        experiment=key, title="Granules, invented", definition=b"", planned=("1",),
        events=log.events(), made=now, made_by="tarebook 0.1.0",
    )  # fmt: skip
    (tmp_path / "a.zip").write_bytes(pack(files_of(archive)))
    (tmp_path / "read.py").write_text(script, encoding="utf-8")

    def read() -> subprocess.CompletedProcess[str]:
        # Isolated, without the packages that are installed: the standard library alone.
        return subprocess.run(
            [sys.executable, "-I", "-S", "-X", "utf8", "read.py", "a.zip"],
            cwd=tmp_path, capture_output=True, text=True, encoding="utf-8", check=False,
        )  # fmt: skip

    assert read().stdout.splitlines() == [
        "10\t1\ttare_g\t2\t12.36",
        '3\t1\tnote\t1\tsmells of "vinegar"; ü',
        "3\t1\ttare_g\t1\t12.390",
    ]
    files = files_of(archive)
    altered = {**files, EVENTS: files[EVENTS].replace(b"12,31", b"12,91")}
    (tmp_path / "a.zip").write_bytes(pack(altered))
    assert "events.jsonl was altered" in read().stderr


def test_every_file_and_key_of_an_archive_is_explained() -> None:
    (line,) = re.findall(r"^```json\n(.*)\n```$", TEXT, re.MULTILINE)
    (key,) = re.findall(r"with the key `([0-9a-f-]{36})`", TEXT)
    archive = Archive(
        experiment=key,
        title="Granules",
        definition=b"",
        planned=("1",),
        events=(received_of(line),),
        made=time_of("2026-10-05T13:00:00Z"),
        made_by="tarebook 0.1.0",
    )
    files = files_of(archive)
    assert archive_of(files, "x") == archive
    for name in files:
        assert f"| `{name}`" in rows_after("## Archives")
    for name in json.loads(files[MANIFEST]):
        assert f"`{name}`" in rows_after("### `manifest.json`")
