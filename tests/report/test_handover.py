"""The page, the labels, the CSV and the terminal say the same of cups that wait."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from pypdf import PdfReader
from scripts.one_voice.gather import changed_text
from scripts.one_voice.poured import MOST, gather_poured, handover_texts, understated
from scripts.one_voice.voices import disagreements
from tests.poured_rows import LABORATORIES, changed, poured, simulated, without
from tests.run_codes import RunCode, read_run_code
from tests.words import texts

from tarebook import api
from tarebook.api.reduce_series import reduce_table
from tarebook.records.readings import Quantity, RunTable
from tarebook.records.source import ReadingsSource
from tarebook.report import numbers
from tarebook.report.document import document
from tarebook.report.handover.document import handover_document, handover_page
from tarebook.report.handover.labels import cup_label_data, cup_labels
from tarebook.report.handover.payload import handover_csv
from tarebook.report.handover.story import tell_handover
from tarebook.report.handover.text import handover_text
from tarebook.report.outcome import Outcome
from tarebook.report.page import page
from tarebook.report.sheets.codes import run_code, square
from tarebook.report.story import tell
from tarebook.report.text import text
from tarebook.series.definition import parse_definition

GAPS = re.compile(r"[\s\u00a0\u202f]+")


def plain(text: str) -> str:
    """Return a text without any space, so that line breaks and narrow gaps do not matter."""
    return GAPS.sub("", text).replace("\u2212", "-")


def text_of(pdf: bytes) -> str:
    return plain(" ".join(one.extract_text() for one in PdfReader(io.BytesIO(pdf)).pages))


@pytest.fixture(params=sorted(LABORATORIES))
def outcome(request: pytest.FixtureRequest) -> Outcome:
    """A filled row with a wrong tare and a volume that nobody read."""
    experiment = parse_definition(LABORATORIES[request.param])
    table = changed(poured(experiment, 31).table, "3", Quantity.TARE, 1.0)
    table = without(table, "5", Quantity.REAGENT)
    return reduce_table(experiment, table, seed=1, draws=1_000, made_on="2027-03-02")


def shown(value: float, u: float) -> str:
    return plain(numbers.plus_minus(value, u, numbers.TERMINAL))


def test_every_number_of_the_cups_is_the_same_everywhere_and_a_changed_one_is_noticed(
    outcome: Outcome,
) -> None:
    texts = handover_texts(outcome)
    found = gather_poured(outcome, texts)
    assert found.missing == []
    assert [str(one) for one in disagreements(found.printed)] == []
    assert {one.where for one in found.printed if one.name in MOST} == {"page", "paper"}
    assert understated(found.printed) == ()
    for where, text_there in texts.items():
        before = [one for one in found.printed if one.where == where]
        spoilt = {**texts, where: changed_text(text_there, before)}
        after = disagreements(gather_poured(outcome, spoilt).printed)
        assert {one.name for one in before} - {one.first.name for one in after} == set()


def test_the_caution_speaks_of_what_was_found_not_of_the_plan() -> None:
    """A cup that got 3 mL of acid too much is stronger than any that was planned."""
    experiment = parse_definition(LABORATORIES["hydrochloric acid"])
    made = poured(experiment, 31).table
    last = made.runs[-1]
    more = changed(changed(made, last, Quantity.REAGENT, 0.003), last, Quantity.LIQUID, 3.0)
    outcome = reduce_table(experiment, more, seed=1, draws=1_000, made_on="2027-03-02")
    found = gather_poured(outcome, handover_texts(outcome)).printed
    planned = max(run.reagent / (run.reagent + run.diluent) for run in experiment.planned)
    planned *= experiment.reagent.concentration.value
    said = [one.value for one in found if one.name == MOST[1]]
    assert min(said) > 1.02 * planned
    assert understated(found) == ()
    plan_only = [replace(one, value=planned) if one.name in MOST else one for one in found]
    assert understated(plan_only) != ()


def test_a_volume_that_nobody_read_is_not_called_read(outcome: Outcome) -> None:
    """Beside the plan stands what the scale would have shown, and that nobody read it."""
    handover = outcome.handover
    assert handover is not None
    story = tell_handover(outcome, handover)
    assert story.beside_plan is not None
    marked = {row[0]: [cell for cell in row[1:] if cell.endswith("*")]
              for row in story.beside_plan.rows}  # fmt: skip
    assert len(marked.pop("5")) == 1
    assert not any(marked.values())
    assert "* Not read: what the scale would have shown" in story.beside_plan.caption


def test_one_value_for_one_quantity_in_every_output(outcome: Outcome) -> None:
    handover = outcome.handover
    assert handover is not None
    pages = {
        "pdf": text_of(handover_document(outcome, handover)),
        "page": plain(re.sub(r"<[^>]*>", " ", handover_page(outcome, handover))),
        "labels": text_of(cup_labels(outcome, handover)),
        "terminal": plain(handover_text(outcome, handover, width=120)),
    }
    rows = {row["run"]: row for row in csv.DictReader(io.StringIO(handover_csv(outcome, handover)))}
    for run in api.payload(outcome)["runs"]:
        known, coming = run["handover"], run["handover"]["to_come"]["final_g"]
        amount = known["reagent_mol"]
        row = rows[run["run"]]
        assert float(row["reagent_amount_mmol"]) == pytest.approx(
            1000.0 * amount["value"], rel=1e-5, abs=1e-6
        )
        assert float(row["final_low_g"]) == pytest.approx(coming["low"], rel=1e-5)
        decimals = numbers.places(coming["value"], coming["u"])
        ends = [plain(numbers.fixed(coming[end], decimals)) for end in ("low", "high")]
        volume = shown(known["diluent_mL"]["value"], known["diluent_mL"]["u"])
        for name, made in pages.items():
            assert f"{ends[0]}to{ends[1]}" in made, (name, run["run"])
            assert volume in made, (name, run["run"])
            if amount["u"] > 1e-6:
                moles = shown(1000.0 * amount["value"], 1000.0 * amount["u"])
                assert moles in made, (name, run["run"])


def test_the_page_says_whether_the_cups_may_be_used(outcome: Outcome) -> None:
    assert outcome.handover is not None
    whole = plain(handover_page(outcome, outcome.handover))
    story = tell_handover(outcome, outcome.handover)
    assert story.verdict
    assert story.fitness == outcome.handover.fitness.value
    assert plain(story.verdict) in whole
    assert "Bythemassoftheliquiditwas" in whole
    # What keeps the row from being fit stands under the verdict, on the first page.
    assert len(story.why) == len(outcome.handover.reasons)
    first = PdfReader(io.BytesIO(handover_document(outcome, outcome.handover))).pages[0]
    for line in story.why:
        assert plain(line) in plain(first.extract_text())
    # Lines to fill in where no record says who and when.
    assert [(one.who, one.when) for one in story.handed_on] == [("", "")] * 4


def test_the_page_is_written_in_the_language_of_the_course(outcome: Outcome) -> None:
    """All that the page says itself; what the checks noticed is English."""
    preparation = outcome.experiment.preparation
    german = replace(preparation, course=replace(preparation.course, language="de"))
    made = replace(outcome, experiment=replace(outcome.experiment, preparation=german))
    assert made.handover is not None
    whole = handover_page(made, made.handover)
    pdf = text_of(handover_document(made, made.handover))
    assert '<html lang="de">' in whole
    english, second = texts("en"), texts("de")
    for key in (
        "cups", "to_come", "next", "handed_on", "noticed", "beside_plan", "liquid", "readings",
        "instruments", "done_poured", "do_add", "plan_note", "cups_note",
    ):  # fmt: skip
        for made_text in (plain(whole), pdf):
            assert plain(second[f"handover-{key}"]) in made_text, key
            assert plain(f">{english[f'handover-{key}']}<") not in made_text, key
    for key in ("title", "goggles", "acid_into_water", "spills", "who_decides"):
        assert plain(second[f"safety-{key}"]) in plain(whole)
        assert plain(english[f"safety-{key}"]) not in pdf
    for key in ("readings_note", "instruments_note", "all_masses", "column_repeating"):
        for made_text in (plain(whole), pdf):
            assert plain(second[f"tables-{key}"]) in made_text, key
            assert plain(english[f"tables-{key}"]) not in made_text, key
    assert second["tables-liquid_axis"] in whole
    assert "graduated cylinder" not in whole
    # Numbers too: a comma where the place writes one.
    assert re.search(r"[0-9],[0-9]+±0,[0-9]+", pdf)
    assert "Seite1von" in pdf


def test_labels_name_what_is_odd_about_a_cup(outcome: Outcome) -> None:
    assert outcome.handover is not None
    cups = {cup["run"]: cup for cup in cup_label_data(outcome, outcome.handover)["cups"]}
    assert set(cups) == {f"Run {run}" for run in outcome.table.runs}
    assert "disagree" in cups["Run 3"]["warning"]
    assert "not read" in cups["Run 5"]["warning"]
    assert cups["Run 2"]["warning"] == ""


def test_labels_carry_the_code_of_the_label_they_replace(outcome: Outcome) -> None:
    """Scanned, a label of a filled cup leads to the same run of the same group."""
    made = replace(outcome, source=ReadingsSource(group="3"))
    assert made.handover is not None
    digest = made.experiment.digest
    for address in ("", "http://192.168.1.20:8420"):
        cups = cup_label_data(made, made.handover, address=address)["cups"]
        wanted = [square(run_code(digest, "3", run, address)) for run in made.table.runs]
        assert [cup["code"] for cup in cups] == wanted
        assert {cup["group"] for cup in cups} == {"Group 3"}
        pdf = cup_labels(made, made.handover, address=address)
        picture = pypdfium2.PdfDocument(pdf)[0].render(scale=4).to_pil()
        read = {read_run_code(one.text) for one in zxingcpp.read_barcodes(picture)}
        assert read == {RunCode(digest[:8].upper(), "3", run) for run in made.table.runs}


def test_labels_carry_the_signal_word_of_what_is_in_the_cup() -> None:
    text = LABORATORIES["hydrochloric acid"]
    table = poured(parse_definition(text), 2).table
    # Beyond what the model of the reaction holds for; what is in the cups is known all the same.
    experiment = parse_definition(text.replace("mol_per_L = 0.75", "mol_per_L = 4.0"))
    made = reduce_table(experiment, table, seed=1, draws=1_000, made_on="2027-03-02")
    assert made.handover is not None
    last = cup_label_data(made, made.handover)["cups"][-1]
    assert last["signal"] == "Warning"
    assert last["pictograms"]


def test_labels_speak_the_language_of_the_course() -> None:
    german = LABORATORIES["hydrochloric acid"] + '\n[course]\nlanguage = "de"\n'
    experiment = parse_definition(german)
    made = reduce_table(
        experiment, poured(experiment, 2).table, seed=1, draws=1_000, made_on="2027-03-02"
    )
    assert made.handover is not None
    assert "am Ende" in cup_label_data(made, made.handover)["cups"][0]["lines"][-1]


def test_a_planned_row_has_a_table_to_pour_from() -> None:
    experiment = parse_definition(LABORATORIES["fizzing tablet"])
    table = replace(poured(experiment, 1).table, readings=())
    made = reduce_table(experiment, table, seed=1, draws=1_000, made_on="")
    assert made.handover is not None
    story = tell_handover(made, made.handover)
    assert story.verdict == ""
    assert story.planned is not None
    assert [row[2] for row in story.planned.rows] == ["0", "3", "6", "9", "13", "18", "24", "32"]
    assert story.to_come is not None
    assert len(story.to_come.columns) == 4
    assert handover_document(made, made.handover).startswith(b"%PDF")
    # Of a row without cups there is nothing to label.
    assert not made.stage.in_work


def test_a_gas_that_burns_or_poisons_is_said_on_page_and_labels() -> None:
    text = LABORATORIES["hydrochloric acid"]
    for old, new in (
        ('"NaHCO3 + HCl -> NaCl + H2O + CO2"', '"Mg + 2 HCl -> MgCl2 + H2"'),
        ('sample = "NaHCO3"', 'sample = "Mg"'),
        ('gas = "CO2"', 'gas = "H2"'),
        ("nominal_g = 1.5", "nominal_g = 0.2"),
    ):
        assert old in text
        text = text.replace(old, new)
    experiment = parse_definition(text)
    made = reduce_table(
        experiment, poured(experiment, 2).table, seed=1, draws=1_000, made_on="2027-03-02"
    )
    assert made.handover is not None
    assert any("No flame, no spark" in line for line in tell_handover(made, made.handover).cautions)
    assert "Noflame,nospark" in text_of(cup_labels(made, made.handover))


def test_a_report_of_results_so_far_shows_the_cups_that_wait() -> None:
    experiment = parse_definition(LABORATORIES["hydrochloric acid"])
    made = simulated(experiment, 12)
    table = without(made.table, "8", Quantity.SAMPLE, Quantity.FINAL, Quantity.MINUTES)
    outcome = reduce_table(experiment, table, seed=1, draws=1_000, made_on="2027-03-02")
    story = tell(outcome)
    assert story.headline is not None
    assert [[row[0] for row in each.rows] for each in story.open_cups] == [["8"], ["8"]]
    assert "Cups that are not finished" in text(outcome)
    assert "Cupsthatarenotfinished" in plain(page(outcome))
    assert "Cupsthatarenotfinished" in text_of(document(outcome))
    done = reduce_table(experiment, made.table, seed=1, draws=1_000, made_on="2027-03-02")
    assert tell(done).open_cups == ()
    assert "Cups that are not finished" not in text(done)


def test_next_steps_are_those_of_the_row() -> None:
    """A row whose sample grows has a portion for each cup, and nothing to thin the acid with."""
    folder = Path(__file__).parents[2] / "examples"
    said = {}
    for name in ("soda-grows-in-acid", "clean-pool-granules"):
        experiment = api.load(folder / name)[0]
        nothing = RunTable(runs=tuple(run.run for run in experiment.planned), readings=())
        made = reduce_table(experiment, nothing, seed=1, draws=1_000, made_on="")
        assert made.handover is not None
        story = tell_handover(made, made.handover)
        assert story.planned is not None
        said[name] = " ".join((*story.next_steps, story.planned.caption))
    assert "as much as its row asks for" in said["soda-grows-in-acid"]
    assert "water first" not in said["soda-grows-in-acid"]
    assert "(1.500\u00a0g, unless its row says otherwise)" in said["clean-pool-granules"]
    assert said["clean-pool-granules"].count("water first") == 2
