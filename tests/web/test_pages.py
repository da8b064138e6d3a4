"""The pages: what stands on them, what their forms do, and what can be taken away."""

from __future__ import annotations

import html
import io
import re
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import zxingcpp
from PIL import Image
from pypdf import PdfReader
from starlette.testclient import TestClient

from tarebook import api
from tarebook.api import bench
from tarebook.web.app import build_app
from tarebook.web.guard import HEADERS
from tarebook.web.settings import Settings

Make = Callable[..., dict[str, Any]]

PAGES = (
    "/", "/plan", "/prepare", "/groups", "/bench", "/bench/3", "/results", "/projector", "/join",
    "/nothing",
)  # fmt: skip


@pytest.fixture
def filled(alone: Any, workspace: bench.Workspace) -> Any:
    """The app with the whole example series recorded by group 1."""
    sheet = (Path(__file__).parents[2] / "examples/clean-pool-granules/readings.csv").read_bytes()
    bench.take_sheet(workspace, "1", sheet, "readings.csv")
    alone.open("/")
    return alone


@pytest.mark.parametrize("address", PAGES)
def test_every_page_is_guarded_and_whole(filled: Any, address: str) -> None:
    answer = filled.get(address)
    assert answer.status_code == (404 if address == "/nothing" else 200)
    for name, value in HEADERS.items():
        assert answer.headers[name] == value
    assert answer.headers["cache-control"] == "no-store"
    text = answer.text
    assert "default-src 'none'" in answer.headers["content-security-policy"]
    # The policy forbids all of these; a page that had them would be broken by it.
    assert " style=" not in text
    assert "<style" not in text
    assert not re.search(r"<script(?![^>]*\bsrc=)", text)
    assert not re.search(r"\son[a-z]+=", text)
    outside = {
        found
        for found in re.findall(r'(?:href|src|action)="([^"]+)"', text)
        if not found.startswith(("/", "#"))
    }
    assert outside == set()
    assert '<html lang="en"' in text
    assert "<h1" in text
    assert "The readings are simulated" in text
    assert "{{" not in text


def test_what_pages_name_is_there(filled: Any) -> None:
    named = {
        found
        for address in PAGES
        for found in re.findall(
            r'(?:href|src)="(/(?:static|fonts)/[^"]+)"', filled.get(address).text
        )
    }
    style = filled.get("/static/app.css").text
    named |= set(re.findall(r'url\("(/[^"]+)"\)', style))
    assert "/fonts/TarebookSans-Regular.woff2" in named
    for address in sorted(named):
        answer = filled.get(address)
        assert answer.status_code == 200, address
        assert answer.headers["cache-control"] == "no-cache"
    assert filled.get("/static/bench/ids.js").headers["service-worker-allowed"] == "/"
    assert filled.get("/static/../app.py").status_code == 404
    assert filled.get("/static/%2e%2e/app.py").status_code == 404


def test_nothing_is_named_outside_by_scripts_and_styles() -> None:
    web = Path(__file__).parents[2] / "src" / "tarebook" / "web"
    for path in [*web.rglob("*.js"), *web.rglob("*.css"), *web.rglob("*.html")]:
        text = path.read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")
        assert not re.search(r"https?://[a-z]", text), path


def test_start_says_how_far_the_class_is(filled: Any) -> None:
    text = filled.get("/").text
    assert "8 of 24 cups are done." in text
    assert "8 runs with 40\u00a0mL in each" in text


def test_results_say_the_answer_and_both_sums(filled: Any, workspace: bench.Workspace) -> None:
    text = filled.get("/results", params={"group": "1"}).text
    outcome = api.payload(api.reduce(Path(__file__).parents[2] / "examples/clean-pool-granules"))
    content = outcome["series"]["full"]["sample_mass_fraction"]["value"]
    assert f"{100 * content:.1f}" in text
    assert "<svg" in text
    assert 'role="img"' in text
    assert "Run by run" in text
    assert "15.790" in text
    view = filled.get("/api/results").json()
    (first, *_rest) = view["groups"]
    assert first["full"]["sample_mass_fraction"]["value"] == pytest.approx(content, rel=1e-9)
    assert first["usual"]["sample_mass_fraction"]["value"] > 0
    assert len(first["points"]) == 8
    # 54.840 + 1.488 - 56.212 = 0.116 g and 5.1 mL, each brought to 1.500 g of sample, by hand.
    assert first["points"][0]["lost_g"] == pytest.approx(0.116 * 1.5 / 1.488, rel=1e-6)
    assert first["points"][0]["along"] == pytest.approx(5.1 * 1.5 / 1.488, rel=1e-6)
    assert len(view["expected"]) > 20
    assert filled.get("/api/results", params={"after": view["head"]}).json() == {
        "head": view["head"], "changed": False, "pending": False,
    }  # fmt: skip


def test_results_before_any_reading(alone: Any) -> None:
    """The row as it is planned, what to do first, and a report that says what is missing."""
    text = alone.get("/results").text
    assert "Nothing has been poured yet. Cups planned: 8." in text
    assert "What is planned" in text
    planned = alone.get("/api/series").json()["runs"]
    assert len(planned) == 8
    for run in planned:
        assert f'<th scope="row">{run["run"]}</th>' in text
    assert re.search(r"Weigh each .+ empty\. Pour the water first", text)
    assert "cup-labels.pdf" not in text
    for name in bench.HANDOVER_FILES:
        answer = alone.get(f"/results/file/{name}")
        assert answer.status_code == (400 if name == bench.CUP_LABELS else 200), name
        if name == "report.pdf":
            pages = PdfReader(io.BytesIO(answer.content)).pages
            said = " ".join(" ".join(page.extract_text() for page in pages).split())
            assert "What is planned" in said
            assert "the empty vessel (8 of 8)" in said
            assert "the final mass (8 of 8)" in said


def test_groups_without_a_reading_share_one_look_at_the_plan(alone: Any) -> None:
    answer = alone.get("/api/results").json()
    assert answer["groups"][0]["findings"] == []
    assert not answer["pending"]


def test_results_with_too_little_say_why(alone: Any, new_event: Make) -> None:
    alone.csrf = alone.get("/api/series").json()["csrf"]
    alone.send(new_event("1", "tare_g", "15.790"))
    answer = alone.get("/results")
    assert answer.status_code == 200
    assert "Run by run" in answer.text


@pytest.fixture
def poured(alone: Any, new_event: Make) -> Any:
    """Give a browser whose first cup holds its liquid and waits."""
    alone.csrf = alone.get("/api/series").json()["csrf"]
    cup = {
        "tare_g": "15.790",
        "diluent_mL": "34.5",
        "reagent_mL": "5.1",
        "vessel_liquid_g": "54.840",
    }
    for quantity, typed in cup.items():
        alone.send(new_event("1", quantity, typed))
    return alone


def test_results_of_filled_cups_hand_them_on(poured: Any) -> None:
    text = poured.get("/results").text
    assert "Stage: planned to poured" in text
    assert "What is in each cup" in text
    assert "will weigh at the end" in text
    assert "does not tell" not in text
    assert "shows no equivalence point" not in text
    assert "workbook.xlsx" not in text


def test_cups_that_may_not_be_used_are_settled_before_anything_else(
    workspace: bench.Workspace, alone: Any
) -> None:
    rows = [("15.790", "34.5", "5.1", "54.840"), ("15.912", "29.9", "10.5", "55.509"),
            ("15.417", "25.5", "14.5", "75.300"), ("15.745", "22.3", "17.9", "55.634")]  # fmt: skip
    head = "run,tare_g,diluent_mL,reagent_mL,vessel_liquid_g"
    sheet = "\n".join([head, *(",".join((str(n), *row)) for n, row in enumerate(rows, 1))])
    bench.take_sheet(workspace, "1", sheet.encode(), "readings.csv")
    text = alone.get("/results").text
    assert "Not fit yet" in text
    after_next = text.partition("<b>Next:</b>")[2].lstrip()
    assert after_next.startswith("First settle what stands under “What was noticed”")
    # What a caption sends the reader to is there, and so are the cautions.
    assert "stands under Instruments" in text
    assert '<h2 id="instruments">Instruments</h2>' in text
    assert bench.always() in text


def test_results_with_cups_under_way_say_what_to_do_next(
    workspace: bench.Workspace, alone: Any
) -> None:
    sheet = (Path(__file__).parents[2] / "examples/clean-pool-granules/readings.csv").read_text()
    head, *rows = sheet.splitlines()
    last = rows[-1].split(",")
    last[head.split(",").index("final_g")] = ""
    cut = "\n".join([head, *rows[:-1], ",".join(last)]).encode()
    bench.take_sheet(workspace, "1", cut, "readings.csv")
    text = alone.get("/results").text
    assert "Cups that are not finished" in text
    assert "weigh the cup for the last time" in text
    assert "Weigh a portion" not in text
    assert 'href="/bench?group=1"' in text


@pytest.mark.parametrize("name", [*bench.HANDOVER_FILES, "workbook.xlsx"])
def test_every_file_of_filled_cups_can_be_taken(poured: Any, name: str) -> None:
    answer = poured.get(f"/results/file/{name}")
    assert answer.status_code == 200
    if name == "report.pdf":
        text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)
        assert "Cups filled and weighed" in text
        assert "A. B." in text
        assert re.search(r"20[0-9]{2}-[01][0-9]-[0-3][0-9] [0-2][0-9]:[0-5][0-9]", text)


def test_no_labels_of_cups_that_are_finished(filled: Any) -> None:
    answer = filled.get("/results/file/cup-labels.pdf", params={"group": "1"})
    assert answer.status_code == 400


@pytest.mark.parametrize("name", list(bench.REPORT_FILES))
def test_every_file_of_a_report_can_be_taken(filled: Any, name: str) -> None:
    answer = filled.get(f"/results/file/{name}", params={"group": "1"})
    assert answer.status_code == 200
    assert answer.headers["content-disposition"] == f'attachment; filename="group-1-{name}"'
    if name.endswith(".pdf"):
        assert "pool granules" in PdfReader(io.BytesIO(answer.content)).pages[0].extract_text()
    elif name.endswith(".xlsx"):
        assert "xl/workbook.xml" in zipfile.ZipFile(io.BytesIO(answer.content)).namelist()
    elif name == "readings.csv":
        assert answer.text.splitlines()[1].startswith("1,15.790,5.1,34.5,54.840,1.488,56.212")
    else:
        assert "pool granules" in answer.text or answer.text.startswith("run,")
    assert filled.get("/results/file/experiment.toml").status_code == 404


def test_groups_are_made_and_keep_their_codes(room: Any) -> None:
    instructor = room.instructor()
    instructor.open("/groups")
    before = {group.name: group.code for group in room.workspace.access.groups}
    assert instructor.form("/groups", count="12").status_code == 303
    after = {group.name: group.code for group in room.workspace.access.groups}
    assert list(after) == [str(n) for n in range(1, 13)]
    assert before.items() <= after.items()
    text = instructor.get("/groups").text
    for group in room.workspace.access.groups:
        assert group.shown_code in text
    for bad in ("0", "-1", "201", "x", "", "1e1", "٣"):
        assert instructor.form("/groups", count=bad).status_code == 400


def test_the_square_leads_to_the_code_and_keeps_it_out_of_logs(room: Any) -> None:
    pytest.importorskip("vl_convert")
    import vl_convert

    answer = room.instructor().get("/groups/2/square.svg")
    assert answer.headers["content-type"] == "image/svg+xml"
    drawn = Image.open(io.BytesIO(vl_convert.svg_to_png(answer.text, scale=3)))
    (read,) = zxingcpp.read_barcodes(drawn.convert("L"))
    code = room.workspace.access.group("2").code
    assert read.text == f"http://bench.test:8420/join#{code}"


def test_every_page_says_that_the_record_was_longer_once(
    alone: Any, workspace: bench.Workspace
) -> None:
    pages = ("/", "/plan", "/prepare", "/groups", "/bench", "/results", "/projector", "/nowhere")
    assert not any("missing from the record" in alone.get(page).text for page in pages)
    workspace.n_lost = 3
    for page in pages:
        assert "3 events are missing from the record" in alone.get(page).text


def test_a_sheet_is_checked_then_brought_in(alone: Any, workspace: bench.Workspace) -> None:
    before = workspace.head()
    alone.open("/groups")

    def bring(data: bytes, name: str = "readings.csv") -> Any:
        return alone.client.post(
            "/groups/sheet", data={"csrf": alone.csrf, "group": "2"}, files={"file": (name, data)}
        )

    for bad, said in (
        (b"\xff\xfe\x00", "UTF-8"),
        (b"\x00" * 20, "no text"),
        (b"PK\x03\x04rest of a workbook \xf0", "UTF-8"),
        (b"run\ttare_g\treagent_mL\n1\t2\t3\n", "tabs"),
        (
            b"run,tare_g,reagent_mL,diluent_mL,vessel_liquid_g,sample_g,final_g\n1,x,,,,,\n",
            "tare_g",
        ),
        (b"", "nothing"),
    ):
        answer = bring(bad, "<b>sheet</b>.csv")
        assert answer.status_code == 400
        assert said in answer.text
        assert "<b>sheet" not in answer.text
    assert workspace.head() == before
    good = b"run,tare_g,reagent_mL,diluent_mL,vessel_liquid_g,sample_g,final_g\n1,15.790,5.1,,,,\n"
    assert bring(good).headers["location"] == "/results?group=2"
    assert bring(good).status_code == 303
    assert workspace.head() == before + 2
    assert bring(b"x" * 1_100_000).status_code == 413


def test_plan_in_full_and_for_a_slider(alone: Any) -> None:
    curve = alone.get("/api/plan", params={"runs": "6", "total_mL": "50"}).json()
    assert len(curve["runs"]) == 6
    assert curve["runs"][0]["reagent_mL"] + curve["runs"][0]["diluent_mL"] == pytest.approx(50)
    assert curve["curve"][0]["low_g"] <= curve["curve"][0]["lost_g"] <= curve["curve"][0]["high_g"]
    text = alone.get("/plan", params={"go": "1", "runs": "6", "total_mL": "50"}).text
    assert "How exact each reading must be" in text
    assert 'value="6"' in text
    refused = alone.get("/plan", params={"go": "1", "runs": "2"})
    assert refused.status_code == 200
    assert "is not possible" in refused.text
    assert alone.get("/api/plan", params={"runs": "2"}).status_code == 400
    assert alone.get("/api/plan", params={"runs": "six"}).json()["error"]["message"]


def test_what_is_printed_is_made_and_given(alone: Any, folder: Path) -> None:
    alone.open("/prepare")
    wish = {"groups": "2", "date": "2027-03-02", "time": "14:00", "balances": "1", "paper": "a4",
            "language": "en"}  # fmt: skip
    for bad in ({"date": "yesterday"}, {"groups": "x"}, {"groups": "0"}):
        assert alone.form("/prepare", **{**wish, **bad}).status_code == 400
    none, yesterday = (
        html.unescape(alone.form("/prepare", **{**wish, **bad}).text)
        for bad in ({"groups": "0", "balances": "0"}, {"date": "yesterday"})
    )
    assert "“Groups that work at once”: found 0; allowed: 1 to 500 groups" in none
    assert "“Balances in the room”: found 0" in none
    assert "“Day of the lesson”: found 'yesterday'" in yesterday
    assert "--" not in none.split("<main")[1].split("<form")[0]
    assert "Nothing has been made yet." in alone.get("/prepare").text
    assert alone.form("/prepare", **wish).status_code == 303
    text = alone.get("/prepare").text
    names = re.findall(r'href="/prepare/([^"]+)"', text)
    assert "bench-sheets.pdf" in names
    for name in names:
        answer = alone.get(f"/prepare/{name}")
        assert answer.headers["content-type"] == "application/pdf"
        assert len(PdfReader(io.BytesIO(answer.content)).pages) >= 1
    for other in ("experiment.toml", "..%2Fexperiment.toml", "report.pdf", "%2Fetc%2Fpasswd"):
        assert alone.get(f"/prepare/{other}").status_code == 404


def test_a_fault_of_ours_is_a_page_without_a_trace(
    workspace: bench.Workspace, monkeypatch: pytest.MonkeyPatch, fault_reports: Path
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("a secret number")

    monkeypatch.setattr("tarebook.web.readings.bench.series_view", broken)
    client = TestClient(
        build_app(workspace, Settings(port=8420)),
        base_url="http://localhost:8420",
        raise_server_exceptions=False,
    )
    answer = client.get("/api/series")
    assert answer.status_code == 500
    assert set(answer.json()["error"]) == {"code", "message", "do"}
    assert "secret" not in answer.text
    assert answer.headers["x-content-type-options"] == "nosniff"
    (report,) = fault_reports.iterdir()
    text = report.read_text(encoding="utf-8")
    assert "GET /api/series" in text
    assert "ZeroDivisionError" in text
    assert "secret number" not in text
    assert (
        f"code {report.stem.removeprefix('tarebook-fault-')})" in answer.json()["error"]["message"]
    )
    report.unlink()


def test_a_record_that_was_replaced_is_said_once_and_a_group_is_not_sent_to_the_terminal(
    room: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def gone(*_: object, **__: object) -> None:
        raise bench.RecordError("/srv/course/tarebook.db", "another file lies there", "Put it back")

    instructor, group = room.instructor(), room.group("1")
    monkeypatch.setattr(bench, "group_result", gone)
    said = instructor.get("/results?group=1")
    assert said.status_code == 503
    assert said.text.count("Put it back") == 1
    assert "The record /srv/course/tarebook.db: another file lies there." in said.text
    said = group.get("/results")
    assert said.status_code == 503
    assert "/srv/course" not in said.text
    assert "Put it back" not in said.text
    assert "Tell the person in charge. Go on recording at the bench" in said.text


def test_a_refused_page_says_where_to_go_once(room: Any, alone: Any) -> None:
    for browser, way in ((room.group("1"), "To your bench"), (alone, "To the first page")):
        page = browser.get("/nothing").text
        assert page.count(way) == 1
        assert "Go to the" not in page
    old = alone.form("/prepare", csrf="x", groups="1")
    assert "<h1>This page is too old</h1>" in old.text
