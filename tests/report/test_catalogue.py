"""The catalogue of what is said: complete in every language, and nothing in it that nobody says."""

from __future__ import annotations

import ast as python
import re
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from fluent.syntax import ast
from tests.words import messages, places, texts

import tarebook
from tarebook.core.phrase import Phrase
from tarebook.core.quantity import Estimate
from tarebook.diagnosis.slips.kinds import PREFIX, SlipKind
from tarebook.records.readings import Quantity
from tarebook.report import numbers
from tarebook.report.languages import catalogue as catalogue_module
from tarebook.report.languages.catalogue import MissingTextError, catalogue, subjects
from tarebook.report.languages.known import LANGUAGES

SOURCE = Path(tarebook.__file__).parent


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_has_the_same_messages_and_asks_for_the_same_values(language: str) -> None:
    english, other = messages("en"), messages(language)
    assert subjects(language) == subjects("en")
    assert set(other) == set(english)
    for key, message in other.items():
        assert places(message) == places(english[key]), key
        assert [a.id.name for a in message.attributes] == [
            a.id.name for a in english[key].attributes
        ], key


ALIKE = {
    "de": {"handout-name", "pad-in-unit"},
    "es": {"evidence-factor", "evidence-gas", "evidence-gas_g", "evidence-gas_L"},
}
"""What is spelled in a language as it is in English."""


@pytest.mark.parametrize("language", sorted(set(LANGUAGES) - {"en"}))
def test_no_language_is_a_copy(language: str) -> None:
    """But for names that are spelled alike, and texts that hold nothing but a place."""
    english, other = texts("en"), texts(language)
    same = {key for key, text in other.items() if text == english[key] and text.strip("{}")}
    alone = re.compile(r"(\{[^{}]*\}|[^A-Za-z])*")
    assert {key for key in same if not alone.fullmatch(english[key])} == ALIKE[language] | {
        "labels-strength",
        "question-a_equivalence",
        "key-column_analyte",
        "key-column_reagent",
        "question-a_amount",
        "question-a_dilution",
        "question-a_reagent",
        "report-method",
        *(f"evidence-{name}" for name in ("p", "u", "u_g", "u_mL", "u_mmol_per_g")),
    }


def test_every_key_of_a_finding_or_a_reason_has_its_message() -> None:
    """Where a key is written out in the source; those with a part that varies are tested where
    they are made."""
    known = set(messages("en"))
    written = {key for path in SOURCE.rglob("*.py") for key in _keys(path)}
    assert len(written) > 100
    assert written - known == set()


def _keys(path: Path) -> Iterator[str]:
    for node in python.walk(python.parse(path.read_text(encoding="utf-8"))):
        if not isinstance(node, python.Call):
            continue
        name = python.unparse(node.func)
        first = node.args[0] if node.args else None
        if name in {"Phrase", "Phrase.of", "api.Phrase", "api.Phrase.of"} and isinstance(
            first, python.Constant
        ):
            yield str(first.value)
        if name == "Finding":
            codes = (keyword.value for keyword in node.keywords if keyword.arg == "code")
            yield from (str(code.value) for code in codes if isinstance(code, python.Constant))


def test_every_message_is_said_somewhere() -> None:
    """By its key written out, or by a key with a part that varies."""
    written, varying = _texts_of_the_source()
    names = {"H", "P", "substance", "substance_note", "gas", "pictogram", "signal"}
    silent = [
        key
        for key in messages("en")
        if not {key, key.replace("-", ".", 1)} & written
        and not varying.fullmatch(key)
        and not varying.fullmatch(key.replace("-", ".", 1))
        and key.partition("-")[0] not in names
    ]
    assert not silent, " ".join(silent)


def _texts_of_the_source() -> tuple[set[str], re.Pattern[str]]:
    """Return the texts of the source, and what those with a varying part can become."""
    written, varying = {PREFIX + kind.value for kind in SlipKind}, set[str]()
    for path in SOURCE.rglob("*.py"):
        for node in python.walk(python.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, python.Constant) and isinstance(node.value, str):
                written.add(node.value.replace(" ", "_"))
            elif isinstance(node, python.JoinedStr):
                parts = [
                    re.escape(str(part.value)) if isinstance(part, python.Constant) else ".*"
                    for part in node.values
                ]
                if len(str(parts[0])) > 3 and parts[0] != ".*":
                    varying.add("".join(parts))
    for path in SOURCE.rglob("*"):
        if path.suffix in {".html", ".typ", ".js", ".ftl"}:
            text = path.read_text(encoding="utf-8")
            # In quotes, or as a message that another one holds.
            written |= set(re.findall(r"""(?:["']|\{ )([\w.-]+)(?:["']| \})""", text))
    return written, re.compile("|".join(sorted(varying)))


def test_numbers_are_set_as_the_place_writes_them() -> None:
    content = Estimate(value=0.9123, u=0.0061, low=0.9, high=0.925, unit="g/g")
    german = catalogue("de", "de_DE", numbers.PRINT.with_decimal(","))
    assert german(Phrase.of("content-would-be", content=content)) == (
        "der Gehalt wäre dann 91,23\u202f±\u202f0,61\u00a0%"
    )
    english = catalogue("en", "en_GB", numbers.TERMINAL)
    assert english(Phrase.of("protons-per-gram", value=2.4712, u=0.2634)) == (
        "2.47 ± 0.26 mmol of protons"
    )
    assert german(Phrase.of("from-to", low="1,5", high="2,5")) == "1,5 bis 2,5"


def test_counts_choose_their_words_and_readings_their_unit() -> None:
    english = catalogue("en", "en_GB", numbers.TERMINAL)
    few = {"side": "before"}
    assert english(Phrase("few-runs-on-a-side", {**few, "runs": 1.0})).startswith("Only one run ")
    assert english(Phrase("few-runs-on-a-side", {**few, "runs": 2.0})).startswith("Only 2 runs ")
    lacking = (Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
    assert english(Phrase.of("not-read", lacking=lacking)) == (
        "not read: the vessel with the liquid, the sample and the final mass"
    )


def test_what_a_language_lacks_is_said_at_once() -> None:
    english = catalogue("en", "en_GB", numbers.TERMINAL)
    with pytest.raises(MissingTextError, match="no message 'never-said'"):
        english(Phrase("never-said"))
    with pytest.raises(MissingTextError, match="not-read"):
        english(Phrase("not-read"))


def test_no_message_holds_what_is_not_read_as_one() -> None:
    """`messages` refuses junk; a message without a text would show nothing."""
    for language in LANGUAGES:
        for key, message in messages(language).items():
            assert isinstance(message.value, ast.Pattern), f"{language}: {key}"


def test_a_message_is_there_for_a_thread_that_asks_while_another_reads_its_file(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    of = catalogue_module.Catalogue("en", "en_GB", numbers.PRINT)
    read, asked = catalogue_module._resource, list[bool]()
    key = PREFIX + SlipKind.COPIED.value

    def while_reading(language: str, subject: str) -> object:
        if subject == "slips" and not asked:
            asked.append(False)
            with ThreadPoolExecutor(1) as other:
                asked[0] = other.submit(of.has, key).result()
        return read(language, subject)

    monkeypatch.setattr(catalogue_module, "_resource", while_reading)
    assert of.has(key)
    assert asked == [True]


def test_what_people_typed_may_be_long() -> None:
    """Two notes of many lines, recorded for one cup by devices that did not know of each other."""
    english, note = catalogue("en", "en_GB", numbers.TERMINAL), "x" * 4000
    said = english(Phrase.of("two-readings", column=note, values=(note, note)))
    assert said.count(note) == 3
    nested = Phrase.of(
        "of-run", run="1", said=Phrase.of("two-readings", column="a", values=(note,))
    )
    assert note in english(nested)
    named = tuple(Phrase.of("of-run", run="1", said=note) for _ in range(3))
    assert english(Phrase.of("doubtful-left-out", named=named, makes_sense=False)).count(note) == 3
