"""A whole experiment as open files: definition, events, sheets, and a list with their hashes.

`docs/record.md` describes every file and field. The functions here turn values into bytes and back;
the edges put the bytes on a disk.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import json
import zipfile
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from tarebook.core.errors import InputError
from tarebook.records.chain import (
    Head,
    Link,
    Verdict,
    first_hash,
    head_after,
    line_of,
    received_of,
    verify_links,
)
from tarebook.records.errors import BrokenArchiveError
from tarebook.records.events import Received, time_of, time_text
from tarebook.records.fold import by_group, fold
from tarebook.records.sheet import write_sheet
from tarebook.series.faults import shown

FORMAT = "tarebook archive"
VERSION = 1
DEFINITION, EVENTS, MANIFEST, READ_ME = (
    "experiment.toml",
    "events.jsonl",
    "manifest.json",
    "READ-ME.txt",
)
MOST_BYTES = 500_000_000
"""Of all files unpacked; more than a term of a department's readings."""

MOST_FILES = 10_000

_READ_ME = """\
This is a complete record of an experiment, in files that need no program to read them.

experiment.toml   the definition
events.jsonl      every reading, correction and withdrawal as it was received, one a line (JSON)
readings*.csv     what counts, one row a run; manifest.json says which file is of which group
manifest.json     what belongs to the archive, with the SHA-256 of every file

To check by hand that nothing was altered:
1. sha256sum of each file is what manifest.json says of it.
2. In events.jsonl the first line holds, as "previous", the SHA-256 of the experiment's key;
   every other line holds the SHA-256 of the line before it (its bytes without the line feed).
       printf %s KEY | sha256sum
       sed -n 1p events.jsonl | tr -d '\\n' | sha256sum
3. The SHA-256 of the last line is what manifest.json says under "events", "last", and what was
   noted down elsewhere when the record was closed. Only this shows that none was cut off or that
   the whole was not written anew.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Archive:
    """A whole experiment.

    Attributes
    ----------
    experiment : str
        Key of the experiment.
    title : str
    definition : bytes
        The file `experiment.toml` as it is.
    planned : tuple of str
        The runs of its plan.
    events : tuple of Received
        All of them, of all groups.
    made : datetime
    made_by : str
        Name and version of the program.
    """

    experiment: str
    title: str
    definition: bytes
    planned: tuple[str, ...]
    events: tuple[Received, ...]
    made: dt.datetime
    made_by: str


def files_of(archive: Archive) -> dict[str, bytes]:
    """Return the files of an archive by their names, the list of them first."""
    files = {
        DEFINITION: archive.definition,
        EVENTS: "".join(line_of(one) + "\n" for one in archive.events).encode(),
        READ_ME: _READ_ME.encode(),
    }
    groups, sheets = _sheets(archive.events, archive.planned)
    files |= sheets
    start = Head(count=0, hash=first_hash(archive.experiment))
    head = head_after(archive.events, start)
    manifest = {
        "format": FORMAT,
        "version": VERSION,
        "made": time_text(archive.made),
        "made_by": archive.made_by,
        "experiment": archive.experiment,
        "title": archive.title,
        "runs": list(archive.planned),
        "events": {"count": head.count, "first": start.hash, "last": head.hash},
        "readings": [{"file": name, "group": group} for group, name in groups.items()],
        "files": [
            {"name": name, "bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
            for name, data in files.items()
        ],
    }
    text = json.dumps(manifest, indent=2, ensure_ascii=False) + "\n"
    return {MANIFEST: text.encode(), **files}


def _sheets(
    events: Sequence[Received], planned: Sequence[str]
) -> tuple[dict[str, str], dict[str, bytes]]:
    """Return the name of each group's sheet, and the sheets."""
    groups = by_group(one.event for one in events) or {"": ()}
    names = {
        group: "readings.csv" if len(groups) == 1 else f"readings-{number}.csv"
        for number, group in enumerate(groups, start=1)
    }
    sheets = {
        names[group]: write_sheet(fold(of_group, planned).table).encode()
        for group, of_group in groups.items()
    }
    return names, sheets


def pack(files: Mapping[str, bytes]) -> bytes:
    """Return files as one zip file; the same files give the same bytes."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in files.items():
            # Without a time of its own, so that equal archives are equal files.
            entry = zipfile.ZipInfo(name, date_time=(1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            packed.writestr(entry, data)
    return buffer.getvalue()


def unpack(data: bytes, name: str) -> dict[str, bytes]:
    """Return the files of a zip file.

    Raises
    ------
    BrokenArchiveError
        If it is none, is damaged, or is larger than an archive can be.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            entries = [entry for entry in packed.infolist() if not entry.is_dir()]
            _refuse_entries(entries, name)
            return {entry.filename: packed.read(entry) for entry in entries}
    except BrokenArchiveError:
        raise
    except _UNREADABLE as error:
        raise BrokenArchiveError(name, f"the zip file cannot be read ({error})") from error


# What the module raises for a file that is cut off, was altered, or never was a zip file.
_UNREADABLE = (
    zipfile.BadZipFile,
    zlib.error,
    NotImplementedError,
    RuntimeError,
    EOFError,
    ValueError,
    OSError,
)


def _refuse_entries(entries: Sequence[zipfile.ZipInfo], name: str) -> None:
    """Refuse what no archive of ours holds, before anything is unpacked."""
    if len(entries) > MOST_FILES or sum(entry.file_size for entry in entries) > MOST_BYTES:
        raise BrokenArchiveError(name, "it is too large for one")
    names = [entry.filename for entry in entries]
    if len(set(names)) != len(names):
        raise BrokenArchiveError(name, "it holds two files of the same name")
    for entry in entries:
        if entry.flag_bits & 1:
            raise BrokenArchiveError(name, f"{plain_name(entry.filename)} in it is encrypted")
        if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            found = f"{plain_name(entry.filename)} in it is packed in a way that is not read here"
            raise BrokenArchiveError(name, found)


def plain_name(name: str) -> str:
    r"""Return the name of a file in an archive as a message may show it.

    Whoever made the archive chose it: it must not write to a terminal what is no letter.

    Examples
    --------
    >>> plain_name("events.jsonl"), plain_name("\x1b[31mred")
    ('events.jsonl', "'\\x1b[31mred'")
    """
    return name if name.isprintable() else ascii(name)


def verify_files(
    files: Mapping[str, bytes], name: str, expected: str = "", anchors: Sequence[Head] = ()
) -> Verdict:
    """Return whether an archive is whole, and what is first wrong with it.

    Parameters
    ----------
    files : mapping of str to bytes
    name : str
        Of the archive, for messages.
    expected : str
        The last hash as somebody wrote it down; empty if nobody did.
    anchors : sequence of Head
        Where the chain stood at earlier moments, by what is kept outside it.

    Raises
    ------
    BrokenArchiveError
        If its list of files cannot be read, so that nothing can be said about it.
    """
    manifest = _Manifest(files, name)
    links = links_of(files)
    # The chain first: it says which event was altered, not only that the file was.
    verdict = verify_links(manifest.experiment, links, manifest.head, anchors)
    if verdict.fault:
        return verdict
    fault = _fault_of_files(files, manifest) or _fault_of_sheets(files, manifest, links)
    if not fault and expected and expected != verdict.head.hash:
        fault = f"the last hash is not the one that was written down ({expected})"
    return replace(verdict, fault=fault)


def links_of(files: Mapping[str, bytes]) -> list[Link]:
    """Return the events of an archive as they stand there, nothing believed."""
    return [Link(line=line) for line in _lines(files.get(EVENTS, b""))]


def key_of(files: Mapping[str, bytes]) -> str:
    """Return the key of the experiment in an archive, as its list says."""
    return _Manifest(files, "the archive").experiment


def archive_of(files: Mapping[str, bytes], name: str) -> Archive:
    """Return the archive that some files are; `files_of` writes the same files.

    Raises
    ------
    BrokenArchiveError
        If it is not whole.
    """
    verdict = verify_files(files, name)
    if verdict.fault:
        raise BrokenArchiveError(name, verdict.fault)
    manifest = _Manifest(files, name)
    return Archive(
        experiment=manifest.experiment,
        title=manifest.title,
        definition=files[DEFINITION],
        planned=manifest.planned,
        events=tuple(received_of(line) for line in _lines(files[EVENTS])),
        made=manifest.made,
        made_by=manifest.made_by,
    )


class _Manifest:
    """The list of an archive, read with care."""

    def __init__(self, files: Mapping[str, bytes], name: str) -> None:
        if MANIFEST not in files:
            raise BrokenArchiveError(name, f"it has no {MANIFEST}")
        try:
            given = json.loads(files[MANIFEST])
            known = given["format"] == FORMAT
        except (ValueError, TypeError, KeyError, RecursionError):
            known = False
        if not known:
            raise BrokenArchiveError(name, f'its {MANIFEST} does not say "format": "{FORMAT}"')
        version = given.get("version")
        if version != VERSION:
            found = f"its version is {shown(version)}, and this program reads {VERSION}"
            raise BrokenArchiveError(name, found)
        try:
            self._take(given)
        except (ValueError, TypeError, KeyError, AttributeError, OverflowError):
            raise BrokenArchiveError(name, f"its {MANIFEST} is incomplete") from None

    def _take(self, given: Mapping[str, Any]) -> None:
        self.experiment = _text(given["experiment"])
        self.title = _text(given["title"])
        self.made_by = _text(given["made_by"])
        self.made = time_of(given["made"])
        self.planned = tuple(_text(run) for run in given["runs"])
        self.head = Head(count=int(given["events"]["count"]), hash=_text(given["events"]["last"]))
        self.sheets = {_text(one["group"]): _text(one["file"]) for one in given["readings"]}
        self.hashes = {_text(one["name"]): _text(one["sha256"]) for one in given["files"]}


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError(value)
    # JSON can name half a character, which no file and no terminal can hold.
    value.encode()
    return value


def _lines(data: bytes) -> list[str]:
    # An undecodable byte is kept as a mark, so that the line is named as the one that was altered.
    text = data.decode("utf-8", errors="replace")
    return text.removesuffix("\n").split("\n") if text else []


def _fault_of_files(files: Mapping[str, bytes], manifest: _Manifest) -> str:
    for name in (DEFINITION, EVENTS):
        if name not in manifest.hashes:
            return f"{name} is not in the list of files"
    for name, digest in manifest.hashes.items():
        if name not in files:
            return f"{plain_name(name)} is missing"
        if hashlib.sha256(files[name]).hexdigest() != digest:
            return f"{plain_name(name)} was altered"
    other = sorted(set(files) - set(manifest.hashes) - {MANIFEST})
    return f"{plain_name(other[0])} was added" if other else ""


def _fault_of_sheets(files: Mapping[str, bytes], manifest: _Manifest, links: list[Link]) -> str:
    """Return whether the sheets are not what the events come to."""
    try:
        events = [received_of(link.line) for link in links]
    except InputError as error:
        return str(error.faults[0])
    names, sheets = _sheets(events, manifest.planned)
    if names != manifest.sheets:
        return "the sheets in the list are not those of the groups in the events"
    for name, data in sheets.items():
        if files.get(name) != data:
            return f"{name} is not what the events come to"
    return ""
