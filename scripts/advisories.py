"""Compare the lock files with a public list of known faults of libraries.

Use:
    python -m scripts.advisories                   asks the list of osv.dev
    python -m scripts.advisories --at ADDRESS      another server that answers the same questions
    python -m scripts.advisories --list FILE.zip   records saved before, one JSON file each

Only the names and versions of the lock files leave this machine. Exit code 0: nothing known; 1: a
locked part has a known fault; 3: no list could be reached, so nothing was compared. The questions
and records are those of the open OSV schema (https://ossf.github.io/osv-schema/).
"""

from __future__ import annotations

import argparse
import json
import sys
import zipfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any
from urllib.error import URLError
from urllib.request import Request, urlopen

from packaging.utils import canonicalize_name
from packaging.version import InvalidVersion, Version
from scripts.locks import Part, parts

ADDRESS = "https://api.osv.dev"
NOT_COMPARED = 3
_ECOSYSTEM = "PyPI"

Found = dict[Part, list[str]]
"""The ids of the known faults of each part that has any."""


class UnreachableError(Exception):
    """The list could not be had, or what came is no such list."""


def asked(address: str, locked: list[Part], timeout: float = 20.0) -> Found:
    """Return what the server at the address knows of the locked parts."""
    found: Found = {}
    waiting: list[tuple[Part, str]] = [(part, "") for part in locked]
    while waiting:
        answers = _answers(address, waiting, timeout)
        more: list[tuple[Part, str]] = []
        for (part, _), answer in zip(waiting, answers, strict=True):
            if ids := [str(fault["id"]) for fault in answer.get("vulns") or ()]:
                found.setdefault(part, []).extend(ids)
            if page := answer.get("next_page_token"):
                more.append((part, str(page)))
        waiting = more
    return found


def _answers(address: str, waiting: list[tuple[Part, str]], timeout: float) -> list[dict[str, Any]]:
    questions = [
        {
            "package": {"name": part.name, "ecosystem": _ECOSYSTEM},
            "version": part.version,
            **({"page_token": page} if page else {}),
        }
        for part, page in waiting
    ]
    request = Request(
        f"{address.rstrip('/')}/v1/querybatch",
        data=json.dumps({"queries": questions}).encode(),
        headers={"Content-Type": "application/json"},
    )
    try:
        with urlopen(request, timeout=timeout) as answer:
            results = json.load(answer)["results"]
    except (URLError, OSError) as error:
        raise UnreachableError(f"{address} does not answer ({error})") from error
    except (ValueError, KeyError, TypeError) as error:
        raise UnreachableError(f"{address} answers something else than advisories") from error
    if not isinstance(results, list) or len(results) != len(waiting):
        raise UnreachableError(f"{address} answers something else than advisories")
    return results


def kept(file: Path, locked: list[Part]) -> Found:
    """Return what the saved records say of the locked parts."""
    try:
        with zipfile.ZipFile(file) as archive:
            records = [
                json.loads(archive.read(n)) for n in archive.namelist() if n.endswith(".json")
            ]
    except (OSError, ValueError, zipfile.BadZipFile) as error:
        raise UnreachableError(f"{file} cannot be read as a zip of advisories ({error})") from error
    if not records:
        raise UnreachableError(f"{file} holds no advisory")
    found: Found = {}
    for part in locked:
        ids = [str(record["id"]) for record in records if _touches(record, part)]
        if ids:
            found[part] = ids
    return found


def _touches(record: dict[str, Any], part: Part) -> bool:
    """Return whether a record, unless taken back, names the version of the part."""
    if record.get("withdrawn"):
        return False
    return any(
        affected.get("package", {}).get("ecosystem") == _ECOSYSTEM
        and canonicalize_name(affected["package"].get("name", "")) == canonicalize_name(part.name)
        and (
            part.version in affected.get("versions", ())
            or any(_within(span, part.version) for span in affected.get("ranges", ()))
        )
        for affected in record.get("affected", ())
    )


def _within(span: dict[str, Any], version: str) -> bool:
    """Return whether a version lies where a fault was introduced and not yet mended."""
    if span.get("type") != "ECOSYSTEM":
        return False
    inside, here = False, Version(version)
    events = [next(iter(event.items())) for event in span.get("events", ())]
    for kind, at in sorted(events, key=lambda event: _order(event[1])):
        if kind == "introduced" and _order(at) <= here:
            inside = True
        elif (kind == "fixed" and _order(at) <= here) or (
            kind == "last_affected" and _order(at) < here
        ):
            inside = False
    return inside


def _order(at: str) -> Version:
    """Return a version; one that is none counts as the first, so a fault is rather told."""
    try:
        return Version(at)
    except InvalidVersion:
        return Version("0")


def told(found: Found, locked: Iterable[Part], source: str) -> str:
    """Return the sentences for a person."""
    if not found:
        return f"{len(list(locked))} locked parts compared with {source}: no known fault."
    lines = [f"Known faults by {source}; take a newer version into the lock, or say why not:"]
    lines += [
        f"  {part.name} {part.version} ({part.use}): {', '.join(ids)}"
        for part, ids in sorted(found.items())
    ]
    return "\n".join(lines)


def main(arguments: list[str] | None = None) -> int:
    """Compare; see the exit codes above."""
    parser = argparse.ArgumentParser(prog="python -m scripts.advisories")
    parser.add_argument("--at", default=ADDRESS, help="address of the list")
    parser.add_argument("--list", type=Path, help="records saved before, as a zip of JSON files")
    given = parser.parse_args(arguments)
    locked = parts()
    try:
        found = kept(given.list, locked) if given.list else asked(given.at, locked)
    except UnreachableError as error:
        print(
            f"Nothing was compared: {error}. Where there is no network, fetch the list elsewhere "
            "and give it with --list.",
            file=sys.stderr,
        )
        return NOT_COMPARED
    print(told(found, locked, str(given.list or given.at)))
    return 1 if found else 0


if __name__ == "__main__":
    raise SystemExit(main())
