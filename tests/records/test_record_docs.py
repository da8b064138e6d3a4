"""What docs/record.md says of events, lines and archives is what they are."""

from __future__ import annotations

import json
import re
from pathlib import Path

from tarebook.records.archive import MANIFEST, Archive, archive_of, files_of
from tarebook.records.chain import first_hash, received_of
from tarebook.records.events import FIELDS, Kind, time_of
from tarebook.records.sheet import HEADER

TEXT = (Path(__file__).parents[2] / "docs" / "record.md").read_text(encoding="utf-8")


def rows_after(heading: str) -> str:
    """Return the first table after a heading."""
    rest = TEXT.split(heading, 1)[1]
    return "\n".join(re.findall(r"^\|.*$", rest.split("\n\n## ")[0], re.MULTILINE))


def test_every_field_and_kind_is_explained() -> None:
    explained = set(re.findall(r"^\| `(\w+)`", rows_after("## Events"), re.MULTILINE))
    assert explained == {*FIELDS, "sequence", "received", "previous", *Kind}
    for column in HEADER:
        assert f"`{column}`" in rows_after("## Events")


def test_the_line_that_is_shown_is_one() -> None:
    (line,) = re.findall(r"^```json\n(.*)\n```$", TEXT, re.MULTILINE)
    (key,) = re.findall(r"with the key `([0-9a-f-]{36})`", TEXT)
    received = received_of(line)
    assert received.sequence == 1
    assert received.previous == first_hash(key)


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
