"""What a finding hands on to be said, for tests of what is named in it."""

from __future__ import annotations

from collections.abc import Iterator

from tarebook.core.phrase import Phrase, Value
from tarebook.diagnosis.slips.kinds import PREFIX, SlipKind
from tarebook.findings.finding import Finding


def inside(what: Finding) -> dict[str, Phrase]:
    """Return every phrase of a finding by its key: what it says, what to do, and their parts."""
    return {phrase.key: phrase for phrase in _phrases((what.phrase, *filter(None, [what.do])))}


def _phrases(value: Value) -> Iterator[Phrase]:
    if isinstance(value, Phrase):
        yield value
        yield from _phrases(tuple(value.values.values()))
    elif isinstance(value, tuple):
        for each in value:
            yield from _phrases(each)


def names(found: Finding, kind: SlipKind) -> bool:
    """Whether a kind of slip is named: first, as one of two equals, or as what is possible too."""
    named = {found.code, found.evidence.get("as_likely", "")}
    return PREFIX + kind.value in named or f"slip-kind-{kind.value}" in inside(found)
