"""The sheets as they come out of the printer."""

from __future__ import annotations

import io
import itertools
import re
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pytest
import typst
from pypdf import PdfReader
from tests.run_codes import read_run_code

from tarebook.diagnosis.liquid_planned import liquid_to_come
from tarebook.planning.prepare.amounts import run_sums
from tarebook.planning.prepare.hazards import PICTOGRAM_ORDER
from tarebook.records.complete import asked_of
from tarebook.records.readings import Quantity
from tarebook.report.languages.known import LANGUAGES
from tarebook.report.sheets.bench import bench_data, bench_sheets
from tarebook.report.sheets.handout import handout, handout_data
from tarebook.report.sheets.hazard_page import hazard_page
from tarebook.report.sheets.key import key
from tarebook.report.sheets.labels import labels
from tarebook.report.sheets.pictograms import DRAWN, RED, pictogram
from tarebook.report.sheets.prep_room import prep_room
from tarebook.report.sheets.questions import questions
from tarebook.report.sheets.setting import Setting

SettingOf = Callable[..., Setting]
SHEETS = (bench_sheets, labels, prep_room, hazard_page, handout, key)
CASES = ("clean-pool-granules", "messy-pool-granules", "weak-acid-foot-bath", "blank")
SIZES = {"a4": (595, 842), "letter": (612, 792)}
LABORATORIES = Path(__file__).parents[2] / "laboratories"
CORROSIVE = 'given_as = "mol per L"\nmol_per_L = 3.7'


def texts(pdf: bytes) -> list[str]:
    """Return the words of each page, one space between them, words divided at line ends whole."""
    pages = []
    for page in PdfReader(io.BytesIO(pdf)).pages:
        text = page.extract_text().replace("\u00ad\n", "").replace("\u00ad", "")
        pages.append(" ".join(text.replace("\u00a0", " ").replace("\u202f", " ").split()))
    return pages


def squeezed(text: str) -> str:
    """Return a text without spaces and hyphens, so that line ends do not matter.

    A raised plus is printed as a plus that is raised.
    """
    return "".join(text.split()).replace("-", "").replace("⁺", "+")


def ink(pdf: bytes, page: int) -> np.ndarray[Any, np.dtype[np.bool_]]:
    """Return where a page has ink, at 72 dots an inch."""
    picture = pypdfium2.PdfDocument(pdf)[page].render(scale=1, grayscale=True).to_numpy()
    return np.asarray(picture[:, :, 0] if picture.ndim == 3 else picture) < 200


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.__name__)
@pytest.mark.parametrize(("language", "paper"), [("en", "a4"), ("de", "letter"), ("es", "a4")])
@pytest.mark.parametrize("name", CASES)
def test_every_page_fits_says_who_decides_and_what_is_invented(
    setting_of: SettingOf,
    name: str,
    language: str,
    paper: str,
    sheet: Callable[[Setting], bytes],
) -> None:
    setting = setting_of(name, language=language, paper=paper)
    pdf = sheet(setting)
    reader = PdfReader(io.BytesIO(pdf))
    check = setting.writing.words("sheet.check")
    invented = setting.prepared.experiment.invented
    for number, page in enumerate(reader.pages):
        assert tuple(round(float(side)) for side in page.mediabox[2:]) == SIZES[paper]
        # Nothing within 6 mm of the edge, where printers cannot print.
        marks = ink(pdf, number)
        assert not marks[:17].any()
        assert not marks[-17:].any()
        assert not marks[:, :17].any()
        assert not marks[:, -17:].any()
    for text in texts(pdf):
        assert squeezed(check) in squeezed(text)
        assert squeezed(invented) in squeezed(text)
        assert bool(invented) == (setting.writing.words("sheet.invented") in text)
    root: Any = reader.root_object
    assert root["/Lang"].startswith(language)
    assert "<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_object().get_data().decode()


@pytest.mark.parametrize(
    ("name", "language", "paper"), list(itertools.product(CASES, LANGUAGES, ("a4", "letter")))
)
def test_a_bench_sheet_is_one_page(
    setting_of: SettingOf, name: str, language: str, paper: str
) -> None:
    setting = setting_of(name, language=language, paper=paper)
    pages = texts(bench_sheets(setting))
    planned = setting.prepared.experiment.planned
    assert len(pages) == 2 * len(planned)
    words = setting.writing.words
    for page, (group, run) in zip(pages, itertools.product((1, 2), planned), strict=True):
        assert f"{words('sheet.group')} {group} · {words('sheet.run')} {run.run}" in page
        for volume in (run.reagent, run.diluent):
            assert setting.writing.volume(volume).replace("\u00a0", " ") in page


def test_long_names_still_fit_on_one_page(setting_of: SettingOf, definition_of: Any) -> None:
    long = "x" * 60 + " and a great deal more to say about what it is and where it came from"
    text = definition_of("blank")
    for old in (
        '"hydrochloric acid"',
        '"sodium bicarbonate powder"',
        '"My mixing series"',
        '"cup"',
    ):
        assert old in text
        text = text.replace(old, f'"{long}"')
    setting = setting_of(text=text, language="de", paper="letter")
    assert len(texts(bench_sheets(setting))) == 16


def test_a_cup_stands_on_the_circle(setting_of: SettingOf) -> None:
    """The circle is wider than the rim of the cup, 70 mm: measured on the page."""
    setting = setting_of("clean-pool-granules")
    page = pypdfium2.PdfDocument(bench_sheets(setting))[0]
    pixels = np.asarray(page.render(scale=2, rev_byteorder=True).to_numpy()[:, :, :3], dtype=int)
    accent = np.abs(pixels - np.array([0x0B, 0x5D, 0x73])).sum(axis=2) < 60
    height = accent.shape[0]
    band = accent[int(height * 0.15) : int(height * 0.45), : int(accent.shape[1] * 0.48)]
    columns = np.flatnonzero(band.any(axis=0))
    wide = (columns[-1] - columns[0]) / accent.shape[1] * 210.0
    assert 78.0 < wide < 86.0


def test_320_bench_sheets_are_quick_and_small(setting_of: SettingOf) -> None:
    setting = setting_of(groups=40, balances=6)
    begun = time.process_time()
    pdf = bench_sheets(setting)
    # Processor time: what else the machine does is not counted.
    assert time.process_time() - begun < 5.0
    assert len(PdfReader(io.BytesIO(pdf)).pages) == 320
    assert len(pdf) < 10_000_000


def test_the_same_lesson_gives_the_same_bytes(setting_of: SettingOf) -> None:
    setting = setting_of()
    for sheet in SHEETS:
        assert sheet(setting) == sheet(setting)


def test_german_sheets_have_a_decimal_comma(setting_of: SettingOf) -> None:
    for sheet in (key, prep_room, hazard_page):
        pages = " ".join(texts(sheet(setting_of("weak-acid-foot-bath", language="de"))))
        # The definition's own block is TOML and keeps its points.
        pages = re.sub(r"\[reagent\.strength\].*?titrant_moles_per_mole = \d\.\d", "", pages)
        pages = re.sub(r"Tarebook \d\.\d\.\d|thermo \S+|chemicals \S+", "", pages)
        assert re.search(r"\d,\d", pages)
        assert not re.search(r"\d\.\d+ ?(mL|g|mol|%|min|L)", pages)


def test_twelve_hours_on_letter_paper_in_english(setting_of: SettingOf) -> None:
    assert "2:00 PM" in texts(bench_sheets(setting_of(paper="letter")))[0]
    assert "14:00" in texts(bench_sheets(setting_of(paper="a4")))[0]
    without = texts(bench_sheets(setting_of(start=None)))[0]
    assert "14:00" not in without


def test_a_staggered_start_is_printed_for_each_group(
    setting_of: SettingOf, definition_of: Any
) -> None:
    text = f"{definition_of('blank')}\n[prepare]\nlesson_minutes = 180\n"
    setting = setting_of(text=text, groups=12, balances=3)
    assert setting.stagger > 0
    pages = texts(bench_sheets(setting))
    assert "starts at 14:00" in pages[0]
    last = setting.start_of(11)
    assert last > "14:00"
    assert f"starts at {last}" in pages[-1]


def test_acid_goes_into_water_and_the_thermometer_in_before_the_liquid_is_weighed(
    setting_of: SettingOf,
) -> None:
    for number, page in enumerate(texts(bench_sheets(setting_of("clean-pool-granules")))[:2], 1):
        run = ("35 mL", " 5 mL") if number == 1 else ("30 mL", " 10 mL")
        order = (
            "Weigh the empty", "Measure water", run[0], "Measure dilute hydrochloric acid", run[1],
            "thermometer", "with the liquid", "Weigh the sample", "Never cover", "Swirl",
            "with all that is in it",
        )  # fmt: skip
        steps = page[page.index("in this order") :]
        places = [steps.index(part) for part in order]
        assert places == sorted(places)


def test_the_sheet_has_the_order_of_the_bench_page(setting_of: SettingOf) -> None:
    setting = setting_of("clean-pool-granules")
    steps = bench_data(setting)["sheets"][0]["steps"]
    order = asked_of(setting.prepared.experiment)
    before_the_sample_goes_in = order[: order.index(Quantity.SAMPLE) + 1]
    for quantity, step in zip(before_the_sample_goes_in, steps, strict=False):
        assert step["unit"] == quantity.unit
    targets = {quantity: step["target"] for quantity, step in zip(order, steps, strict=False)}
    assert targets[Quantity.DILUENT].startswith("35")
    assert targets[Quantity.REAGENT].startswith("5")
    assert targets[Quantity.SAMPLE].startswith("1.500")


def test_a_vessel_filled_from_one_bottle_alone_has_one_pour(
    setting_of: SettingOf, definition_of: Any
) -> None:
    text = definition_of("blank").replace("[8, 12, 16,", "[0, 12, 16,").replace(", 36]", ", 40]")
    pages = texts(bench_sheets(setting_of(text=text)))
    assert "Measure water: read" in pages[0]
    assert "likewise" not in pages[0]
    assert "Measure hydrochloric acid: read" in pages[7]
    assert "Measure water" not in pages[7]


def test_unverified_pictograms_are_marked_wherever_they_are_printed(
    setting_of: SettingOf, definition_of: Any
) -> None:
    text = definition_of("blank")
    confirmed = text + (
        '\n[[prepare.confirmed]]\nsubstance = "HCl"\nsheet = "supplier, 2026-05"\n'
        'by = "AB"\non = 2027-02-20\n'
    )
    for sheet in (bench_sheets, handout):
        assert (
            "unverified, from memory: hold this against" in texts(sheet(setting_of(text=text)))[0]
        )
        assert "unverified" not in texts(sheet(setting_of(text=confirmed)))[0]


def test_the_rule_of_acid_and_water_is_for_acids(setting_of: SettingOf, definition_of: Any) -> None:
    text = definition_of("blank")
    for old, new in (
        ("NaHCO3 + HCl -> NaCl + H2O + CO2", "NH4Cl + NaOH -> NaCl + H2O + NH3"),
        ('sample = "NaHCO3"', 'sample = "NH4Cl"'),
        ('gas = "CO2"', 'gas = "NH3"'),
        ('reagent = "HCl"', 'reagent = "NaOH"'),
        ('name = "hydrochloric acid"', 'name = "sodium hydroxide"'),
    ):
        text = text.replace(old, new)
    rule = "Acid into water, never water into acid."
    assert rule not in " ".join(texts(handout(setting_of(text=text))))
    assert rule in " ".join(texts(handout(setting_of("blank"))))


def test_unverified_rows_say_so_until_confirmed(setting_of: SettingOf, definition_of: Any) -> None:
    blank = " ".join(texts(hazard_page(setting_of("blank"))))
    assert "unverified, from memory: hold this against" in blank
    assert "unverified, from a secondary source" in blank
    assert "hold them against" in blank
    text = definition_of("blank")
    for substance in ("HCl", "NaHCO3", "NaOH", "C20H14O4"):
        text += (
            f'\n[[prepare.confirmed]]\nsubstance = "{substance}"\nsheet = "supplier, 2026-05"\n'
            'by = "AB"\non = 2027-02-20\n'
        )
    confirmed = " ".join(texts(hazard_page(setting_of(text=text))))
    assert "unverified" not in confirmed
    assert "confirmed by AB on 20 Feb 2027 against: supplier, 2026-05" in confirmed


def test_what_the_table_does_not_hold_is_never_printed_as_harmless(
    setting_of: SettingOf, definition_of: Any
) -> None:
    text = definition_of("blank").replace("HCl", "HClO4").replace("NaCl", "NaClO4")
    text += (
        '\n[prepare.bought]\nname = "perchloric acid, 65 %"\nstrength = { given_as = '
        '"mass fraction and density", mass_fraction = 0.65, density_g_per_mL = 1.58 }\n'
    )
    setting = setting_of(text=text)
    page = " ".join(texts(hazard_page(setting)))
    assert page.count("That does not mean harmless") == 2
    assert "Not in the hazard table" in " ".join(texts(labels(setting)))
    assert "Work in the fume hood" in " ".join(texts(prep_room(setting)))


def test_a_metal_makes_hydrogen_and_the_sheet_says_no_flame(
    setting_of: SettingOf, definition_of: Any
) -> None:
    text = definition_of("blank")
    for old, new in (
        ("NaHCO3 + HCl -> NaCl + H2O + CO2", "Mg + HCl -> MgCl2 + H2"),
        ('sample = "NaHCO3"', 'sample = "Mg"'),
        ('gas = "CO2"', 'gas = "H2"'),
        ("nominal_g = 1.00", "nominal_g = 0.10"),
    ):
        text = text.replace(old, new)
    setting = setting_of(text=text)
    page = " ".join(texts(hazard_page(setting)))
    assert "It burns: from 4 % in air on. No flame" in page
    assert "Never stopper" in page
    assert "breathe out" not in page
    # 0.10 g of Mg in excess acid: 4.114 mmol, 99.3 mL, and 25 times as much air can burn with it.
    assert "One vessel gives up to 99 mL within about 4 min, some 25 mL a minute" in page
    assert "enough to make 2.5 L of air burn" in page
    assert "a window open at the top" in page
    assert "nothing more is needed" not in page
    # What is left of the metal goes on making gas in the waste.
    for sheet in (hazard_page, prep_room):
        assert "Never a lid, never a stopper, never a closed can" in " ".join(texts(sheet(setting)))
    rule = "No flame, no spark"
    assert all(page.count(rule) >= 2 for page in texts(bench_sheets(setting)))
    assert " ".join(texts(handout(setting))).count(rule) >= 3
    for sheet in SHEETS:
        assert all(rule in page for page in texts(sheet(setting)))
    carbonate = setting_of("blank")
    assert not any(rule in page for sheet in SHEETS for page in texts(sheet(carbonate)))


def test_nothing_on_a_full_label_is_cut(setting_of: SettingOf, definition_of: Any) -> None:
    text = definition_of("blank").replace('given_as = "mol per L"\nmol_per_L = 0.500', CORROSIVE)
    for paper in ("a4", "letter"):
        setting = setting_of(text=text, language="de", paper=paper, groups=1)
        words = setting.writing.words
        page = squeezed(" ".join(texts(labels(setting))))
        stock = setting.prepared.hazards[0].classification
        assert set(stock.H) == {"H290", "H315", "H319", "H335"}
        for code in stock.H:
            assert squeezed(words(f"H.{code}")) in page
        assert squeezed(words("hazard.unverified_memory")) in page


def test_the_key_answers_every_question_of_the_handout(setting_of: SettingOf) -> None:
    for language in ("en", "de"):
        setting = setting_of("weak-acid-foot-bath", language=language)
        asked, answered = (squeezed(" ".join(texts(sheet(setting)))) for sheet in (handout, key))
        for one in questions(setting):
            assert squeezed(one.asked) in asked
            assert squeezed(one.asked) in answered
            assert squeezed(one.answer) in answered
            assert squeezed(one.answer) not in asked


def test_worked_answers_of_the_blank_series_by_hand(setting_of: SettingOf) -> None:
    """1.00 g of 80 % NaHCO3 (nothing is claimed: the middle of what a row is planned for),
    0.500 mol/L HCl, 8 to 36 mL in 40 mL, 200 mL cups at 21 degC."""
    worked = {one.key: one.answer.replace("\u00a0", " ") for one in questions(setting_of("blank"))}
    assert worked["amount"].endswith("= 9.523 mmol")  # 0.80 / 84.006
    assert worked["reagent"] == "0.5 mol/L × 24 mL = 12 mmol"
    assert worked["dilution"] == "0.5 mol/L × 24 mL / 40 mL = 0.3 mol/L"
    assert "run 1: 4 mmol of HCl" in worked["limiting"]
    assert "9.523 mmol × 44.009 g/mol = 0.419 g" in worked["gas"]  # 0.80 * 44.009 / 84.006
    assert worked["equivalence"].endswith("= 19 mL; between run 3 and run 4")
    assert worked["tolerance"] == "0.5 mol/L × 0.5 mL = 0.25 mmol, that is 2.1 % of 12 mmol"
    assert "= 146 kPa" in worked["stopper"]  # 9.523e-3 x 8.3145 x 294.15 / 160e-6


def test_every_pictogram_that_may_be_asked_for_is_drawn() -> None:
    assert set(DRAWN) >= set(PICTOGRAM_ORDER)


@pytest.mark.parametrize("code", DRAWN)
def test_a_pictogram_is_a_black_symbol_inside_a_red_frame(code: str) -> None:
    """A square on its point, red frame, white ground; the symbol stays clear of the frame."""
    source = (
        b"#set page(width: 100pt, height: 100pt, margin: 0mm)\n"
        b"#image(bytes(sys.inputs.svg), width: 100%)"
    )
    drawn = typst.compile(source, sys_inputs={"svg": pictogram(code)}, format="pdf")
    picture = pypdfium2.PdfDocument(drawn)[0].render(scale=4, rev_byteorder=True).to_numpy()
    pixels = np.asarray(picture[:, :, :3], dtype=int)
    n = pixels.shape[0]
    y, x = np.mgrid[0:n, 0:n]
    away = (abs(x - n / 2 + 0.5) + abs(y - n / 2 + 0.5)) / n * 100.0
    red = np.abs(pixels - np.array([int(RED[i : i + 2], 16) for i in (1, 3, 5)])).sum(axis=2) < 40
    black = pixels.sum(axis=2) < 150
    assert red[(away > 44.0) & (away < 48.0)].all()
    assert not red[away < 40.0].any()
    assert 0.04 < black[away < 40.0].mean() < 0.5
    assert not black[away > 40.0].any()


def test_a_run_may_have_any_name_on_every_sheet(setting_of: SettingOf) -> None:
    name = '4, "big" [cup]; ä'
    quoted = name.replace('"', '\\"')
    setting = setting_of("clean-pool-granules", first_run=quoted)
    assert setting.prepared.experiment.planned[0].run == name
    cut = name[:9].rstrip()
    for sheet in (bench_sheets, labels, handout, key):
        assert cut in " ".join(texts(sheet(setting)))
    # The code gives back the whole name, not what the box holds.
    code = bench_data(setting)["sheets"][0]["code-text"]
    read = read_run_code(code)
    assert (read.group, read.run) == ("1", name)


def test_acids_of_the_sample_stand_on_the_hazard_page_but_not_in_the_fume_cupboard(
    setting_of: SettingOf,
) -> None:
    setting = setting_of("fizzing-tablet-hand-soak")
    assert [one.what for one in setting.prepared.hazards].count("acid") == 1
    page = " ".join(texts(hazard_page(setting)))
    assert "An acid of the sample citric acid C₆H₈O₇" in page
    assert "Counted as NaHCO₃, C₆H₈O₇ alone." in page
    assert "The pure substance is not classified as hazardous. Of a product, its own" in page
    assert "Fume hood for: glacial acetic acid." in page
    assert "Counted as NaHCO₃, C₆H₈O₇." in " ".join(texts(labels(setting)))


def test_another_liquid_than_water_is_said_to_be_unknown(
    setting_of: SettingOf, definition_of: Any
) -> None:
    text = definition_of("blank").replace(
        "total_mL = 40", 'total_mL = 40\ndiluent = "brine"\ndiluent_density_g_per_mL = 1.05'
    )
    setting = setting_of(text=text.replace('diluent = "water"\n', "", 1))
    page = " ".join(texts(hazard_page(setting)))
    assert "What the vessels are filled up with brine" in page
    assert page.count("That does not mean harmless") == 1
    assert "Not in the hazard table" in " ".join(texts(labels(setting)))


def test_an_acid_that_nobody_named_is_said_to_be_so(setting_of: SettingOf) -> None:
    text = (LABORATORIES / "fizzing-tablets-acid-unknown" / "experiment.toml").read_text("utf-8")
    setting = setting_of(text=text)
    for sheet in (handout, key):
        page = " ".join(texts(sheet(setting)))
        assert "not named; C₆H₈O₇ stands for it" in page
    page = " ".join(texts(key(setting)))
    assert "Nobody says how much acid the sample brings" in page
    assert "The sample brings acid of its own, 2" not in page
    assert "Nobody has named the acid" in " ".join(texts(hazard_page(setting)))


def test_a_cup_without_sample_asks_for_none(setting_of: SettingOf) -> None:
    setting = setting_of("soda-grows-in-acid")
    blank, filled = texts(bench_sheets(setting))[:2]
    assert "no sample" in blank.lower()
    assert "Weigh the sample" not in blank
    assert "Weigh the sample" in filled
    assert "of sample in every run" not in " ".join(texts(key(setting)))
    assert "0.000 g" not in " ".join(texts(handout(setting)))


def test_the_sheet_follows_the_ways_of_weighing_and_pouring(
    setting_of: SettingOf, definition_of: Any
) -> None:
    """Half tablets in a holder, a burette at both ends, a zeroed balance, a cup without sample."""
    text = definition_of("blank")
    for old, new in (
        ("# piece_g = 2.0", "piece_g = 2.0"),
        ('# pieces_in = "halves"', 'pieces_in = "halves"'),
        ("# sample_g = [0, 1, 1, 1, 1, 1, 1, 1]", "sample_g = [0, 1, 1, 1, 1, 1, 1, 1]"),
        ("# [weighing]", "[weighing]"),
        ('# tare = "zeroed on the cup"', 'tare = "zeroed on the cup"'),
        ('# sample_in = "holder before and after"', 'sample_in = "holder before and after"'),
        ('kind = "graduated cylinder"\ncapacity_mL = 50\ngrade = "B"             #',
         'kind = "burette"\nread = "start and end"\ncapacity_mL = 50\ngrade = "B"   #'),
    ):  # fmt: skip
        assert old in text, old
        text = text.replace(old, new, 1)
    blank, whole = bench_data(setting_of(text=text))["sheets"][:2]
    assert blank["targets"][-1][-1] == "no sample"
    assert whole["targets"][-1][-1] == "half a piece"
    of_blank, of_whole = ([step["text"] for step in one["steps"]] for one in (blank, whole))
    assert "set it to zero" in of_blank[0]
    assert "what evaporates" in of_blank[-2]
    assert not any("sample (" in words or "boat" in words for words in of_blank)
    assert sum("urette" in words for words in of_whole) == 2
    assert sum("boat" in words for words in of_whole) == 2
    assert any(step["target"] == "0.5" for step in whole["steps"])
    units = [step["unit"] for step in whole["steps"]]
    assert units.count("mL") == 3


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_key_of_a_row_in_which_washing_soda_grows(setting_of: SettingOf, language: str) -> None:
    """The gas falls again at its end; no vessel at its beginning is without gas."""
    path = LABORATORIES / "washing-soda-grows-in-acid" / "experiment.toml"
    setting = setting_of(text=path.read_text(encoding="utf-8"), language=language)
    page = squeezed(" ".join(texts(key(setting))))
    falls, first = {
        "en": ("the gas falls again: each gram more", "The first vessels, up to"),
        "de": ("wird es wieder weniger Gas", "Die ersten Gefäße, bis"),
    }[language]
    assert squeezed(falls) in page
    assert squeezed(first) not in page
    # By the equation: 16 mmol of acid take 8 mmol of carbonate, at 97 % in 286.138 g/mol.
    assert squeezed("2.36 g" if language == "en" else "2,36 g") in page
    assert squeezed("4.72 g" if language == "en" else "4,72 g") in page
    slope = "leaves its slope" if language == "en" else "kommt aus der Steigung"
    assert squeezed(slope) in page


def test_the_key_counts_the_runs_before_and_beyond_where_the_sample_grows(
    setting_of: SettingOf,
) -> None:
    """Four cups hold less sample than the acid takes, three more; the empty one is on no side."""
    page = squeezed(" ".join(texts(key(setting_of("soda-grows-in-acid")))))
    assert squeezed("4 below, 3 above") in page


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_key_takes_from_the_model_what_the_liquid_of_a_good_group_lacks(
    setting_of: SettingOf, language: str
) -> None:
    """One number for every ware would accuse whoever pours from a cylinder, and no burette."""
    burette = (LABORATORIES / "burette-and-pipettes" / "experiment.toml").read_text("utf-8")
    for setting in (
        setting_of(language=language, groups=2),
        setting_of(language=language, groups=6),
        setting_of(text=burette, language=language, groups=6),
    ):
        page = squeezed(" ".join(texts(key(setting))))
        ahead = liquid_to_come(setting.prepared.experiment, setting.prepared.groups)
        of_group = ahead.of_group if ahead.beside_others else ahead.most + ahead.of_group
        for mass in (ahead.least, ahead.usual, ahead.of_vessel, of_group):
            assert squeezed(setting.writing.mass(mass, 2)) in page
        assert squeezed("0.5 g less" if language == "en" else "0,5 g weniger") not in page
        alone = {"en": "lack more than", "de": "Fehlen in allen"}[language]
        assert (squeezed(alone) in page) == (setting.prepared.groups == 2)


@pytest.mark.parametrize("language", ["en", "de"])
def test_sheets_of_a_metal_warn_of_it_and_its_key_names_the_water(
    setting_of: SettingOf, language: str
) -> None:
    """The metal is dangerous where the dilute acid only warns; most of the loss is vapour."""
    path = LABORATORIES / "magnesium-turnings-in-acid" / "experiment.toml"
    setting = setting_of(text=path.read_text(encoding="utf-8"), language=language)
    found = {one.what: one.classification for one in setting.prepared.hazards}
    assert (found["stock"].signal, found["sample"].signal) == ("warning", "danger")
    word = setting.writing.words("signal.danger")
    for data in (bench_data(setting), handout_data(setting)):
        assert data["signal"] == word
        assert {*found["stock"].pictograms, *found["sample"].pictograms} == {*data["pictograms"]}
    for sheet in (bench_sheets, handout, hazard_page):
        assert squeezed(word) in squeezed(texts(sheet(setting))[0])
    ahead = setting.prepared.expected
    assert ahead is not None
    last = int(np.argmax([one.gas_mass for one in run_sums(setting.prepared.experiment)]))
    water = setting.writing.mass(float(ahead.water[last]), 2)
    assert float(ahead.water[last]) > 0.5 * float(ahead.lost[last])
    page = squeezed(" ".join(texts(key(setting))))
    assert squeezed(f"{water} (") in page
    assert squeezed("as vapor" if language == "en" else "als Dampf") in page
    pool = squeezed(" ".join(texts(key(setting_of(language=language)))))
    assert squeezed("as vapor with" if language == "en" else "als Dampf mit") not in pool
