"""Whose readings a page rests on, and where the record ended then."""

from __future__ import annotations

from tarebook.records.source import ReadingsSource
from tarebook.report.languages.words import Words


def rests_on(source: ReadingsSource, words: Words) -> str:
    """Return the sentence that follows the others at the foot of a page; empty for a sheet."""
    if source.head is None:
        return ""
    head = source.head
    rests = words("handover.rests_on", group=source.group, count=head.count, hash=head.hash)
    known = [one for one in source.taken_by if one.digest and one.n_events]
    said = [words("handover.taken_by", event=one.event, digest=one.digest) for one in known]
    if any(one.digest != source.definition_now for one in known):
        said.append(words("handover.definition_changed"))
    return " " + " ".join([rests, *said])


def readings_used(source: ReadingsSource) -> str:
    """Return which readings were used, in one line for a terminal."""
    if source.head is None:
        return "Readings used: readings.csv (nothing is recorded)."
    used = (
        f"Readings used: those of group {source.group} in the record, as far as event "
        f"{source.head.count}."
    )
    n_beside = source.beside.n_differing
    if not n_beside:
        return used
    entries = "entry" if n_beside == 1 else "entries"
    return f"{used} readings.csv differs in {n_beside} {entries} and is not used."
