"""Every route under made-up requests: whatever comes, no answer is a fault of the app."""

from __future__ import annotations

import json
import math
import uuid
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from starlette.routing import Route
from starlette.testclient import TestClient

from tarebook.api import bench
from tarebook.core.phrase import Phrase
from tarebook.planning.refusals import Nearest
from tarebook.planning.wishes import Wishes
from tarebook.web.app import build_app, routes
from tarebook.web.guard import HEADERS
from tarebook.web.settings import Settings
from tarebook.web.tries import Tries

FUZZ = settings(
    max_examples=60,
)

ROUTES = sorted(
    (method, route.path)
    for route in routes()
    if isinstance(route, Route)
    for method in route.methods or ()
    if method != "HEAD"
)

PARTS = st.one_of(
    st.sampled_from(["1", "2", "9", "report.pdf", "readings.csv", "results.csv", "..", "%00"]),
    st.text(min_size=1, max_size=20),
)
VALUES = st.one_of(
    st.text(max_size=30),
    st.integers().map(str),
    st.floats().map(str),
    st.sampled_from(["", "1", "-1", "yes", "content", "1e999", "nan", "0x10", "١٢", "40", "1,5"]),
)
FIELDS = st.sampled_from(
    [
        "group", "run", "after", "total_mL", "runs", "sample_g", "stock_mol_per_L", "best", "go",
        "count", "shares", "code", "secret", "next", "groups", "date", "time", "paper", "language",
        "balances", "file", "other",
    ]
)  # fmt: skip
QUERIES = st.dictionaries(FIELDS, VALUES, max_size=4)
# With halves of characters too: JSON can name them.
ANY_TEXT = st.text(st.characters(), max_size=20)
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | ANY_TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner),
    max_leaves=8,
)
EVENT_FIELDS = {
    "id": st.uuids().map(str) | JSON,
    "kind": st.sampled_from(["reading", "correction", "withdrawal"]) | JSON,
    "run": st.sampled_from(["1", "2", "extra"]) | st.text(max_size=10) | JSON,
    "quantity": st.sampled_from(
        ["tare_g", "reagent_mL", "diluent_mL", "vessel_liquid_g", "sample_g", "final_g",
         "temperature_C", "minutes", "note", "run"]
    ) | JSON,
    "typed": st.floats(-1e8, 1e8).map(repr)
    | st.sampled_from(["0", "1,5", "12.50 g", "1e-7", "9999999", "-0", "1e400", "５"])
    | st.text(max_size=20)
    | JSON,
    "taken_at": st.datetimes().map(lambda t: f"{t.isoformat()}Z")
    | st.sampled_from(["2026-10-05T14:03:21Z", "0001-01-01T00:00:00+23:59", "9999-12-31T23:59:59Z"])
    | JSON,
    "who": st.text(max_size=10) | JSON,
    "device": st.just("phone") | JSON,
}  # fmt: skip
EVENTS = st.lists(
    st.fixed_dictionaries(
        EVENT_FIELDS,
        optional={
            "supersedes": st.uuids().map(str) | JSON,
            "reason": st.text(max_size=10) | JSON,
            "repeat": st.integers(1, 9) | JSON,
            "instrument": st.text(max_size=10) | JSON,
        },
    ),
    max_size=4,
)


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    folder = tmp_path_factory.mktemp("fuzz") / "pool"
    folder.mkdir()
    example = Path(__file__).parents[2] / "examples" / "clean-pool-granules"
    text = (example / "experiment.toml").read_text(encoding="utf-8")
    (folder / "experiment.toml").write_text(text, encoding="utf-8")
    with (
        bench.open_workspace(folder, workers=False) as workspace,
        pytest.MonkeyPatch.context() as p,
    ):
        # What takes seconds is made quick; what comes before and after it is the real thing.
        p.setattr("tarebook.web.before.bench.plan_for_page", _quick_plan)
        p.setattr("tarebook.web.before.api.prepare", _quick_prepare)
        address = "http://bench.test:8420"
        app = build_app(
            workspace,
            Settings(port=8420, shares=True, address=address),
            tries=Tries(of_one=10**9, of_all=10**9),
        )
        made = TestClient(
            app, base_url=address, raise_server_exceptions=False, follow_redirects=False
        )
        secret = workspace.access.new_secret()
        token = made.get("/join").text.split('data-csrf="')[1][:64]
        assert made.post("/enter", data={"csrf": token, "secret": secret}).status_code == 303
        yield made


def _quick_plan(folder: Path, wish: Any) -> None:
    from tarebook import api

    assert folder.is_dir()
    assert isinstance(wish, Wishes)
    wished = wish.amounts or (api.Amount(of=api.Wished.N_RUNS, value=2),)
    raise api.ImpossibleWishError(wished, Phrase("refusal-too-few-runs"), Nearest(amounts=wished))


def _quick_prepare(folder: Path, **asked: Any) -> None:
    from tarebook import api

    assert isinstance(asked["groups"], int)
    raise api.InputError(
        [api.Fault(where=api.AskedFor.DATE, found=asked["date"], allowed="a test")]
    )


def check(answer: Any) -> None:
    """Fail if an answer is a fault, lacks a guard, or is JSON that no browser reads."""
    assert answer.status_code < 500, answer.text
    for name, value in HEADERS.items():
        assert answer.headers[name] == value
    if answer.headers.get("content-type", "").startswith("application/json"):
        given = json.loads(answer.text, parse_constant=pytest.fail)
        if answer.status_code >= 400:
            assert set(given["error"]) == {"code", "message", "do"}


@pytest.mark.parametrize(("method", "path"), ROUTES)
@FUZZ
@given(data=st.data())
def test_no_request_is_answered_with_a_fault(
    client: TestClient, method: str, path: str, data: st.DataObject
) -> None:
    if path == "/leave":
        return  # It would end the session that the others need; it takes no input.
    for name in ("group", "run:path", "name"):
        if f"{{{name}}}" in path:
            part = quote(data.draw(PARTS), safe="" if name != "run:path" else "/")
            path = path.replace(f"{{{name}}}", part)
    query = data.draw(QUERIES)
    if method == "GET":
        check(client.get(path, params=query))
        return
    token = client.get("/api/series").json()["csrf"]
    if path == "/api/events":
        body = json.dumps({"events": data.draw(EVENTS), **data.draw(st.just({}) | st.just(query))})
        headers = {"x-csrf-token": token, "content-type": "application/json"}
        check(client.post(path, content=body.encode(), headers=headers))
    elif data.draw(st.booleans()):
        check(client.post(path, data={"csrf": token, **query}))
    else:
        name = data.draw(st.text(max_size=20))
        file = (name or "x", data.draw(st.binary(max_size=300) | st.text(max_size=300)))
        check(client.post(path, data={"csrf": token, **query}, files={"file": file}))


@FUZZ
@given(
    body=st.binary(max_size=400),
    kind=st.sampled_from(
        ["application/json", "application/x-www-form-urlencoded", "multipart/form-data",
         "multipart/form-data; boundary=x", "text/plain", ""]
    ),
    path=st.sampled_from([path for method, path in ROUTES if method == "POST"]),
)  # fmt: skip
def test_no_body_is_answered_with_a_fault(
    client: TestClient, body: bytes, kind: str, path: str
) -> None:
    check(client.post(path, content=body, headers={"content-type": kind}))


@FUZZ
@given(cookie=st.binary(max_size=60), host=st.text(st.characters(codec="ascii"), max_size=20))
def test_no_header_is_answered_with_a_fault(client: TestClient, cookie: bytes, host: str) -> None:
    clean = host.replace("\r", "").replace("\n", "")
    # A browser of its own: a cookie that means nothing is replaced by that of a guest.
    other = TestClient(client.app, base_url=str(client.base_url), raise_server_exceptions=False)
    check(other.get("/api/series", headers={b"cookie": cookie, b"host": clean.encode()}))


@FUZZ
@given(path=st.text(max_size=40))
def test_no_address_is_answered_with_a_fault(client: TestClient, path: str) -> None:
    check(client.get("/" + quote(path)))


@settings(FUZZ, max_examples=100)
@given(
    numbers=st.dictionaries(
        st.sampled_from(["tare_g", "reagent_mL", "diluent_mL", "vessel_liquid_g", "sample_g",
                         "final_g", "temperature_C", "minutes"]),
        st.floats(-1e7, 1e7).filter(lambda x: x == 0 or abs(x) > 1e-7)
        | st.floats(0.01, 100.0),
        min_size=3,
    )
)  # fmt: skip
def test_any_numbers_at_all_are_taken_and_looked_at(
    client: TestClient, numbers: dict[str, float]
) -> None:
    token = client.get("/api/series").json()["csrf"]
    # A group has room for some runs only.
    group = f"numbers {int(uuid.uuid4()) % 40}"
    client.app.app.state.workspace.access.add((group,))  # type: ignore[attr-defined] # ours
    run = str(uuid.uuid4())[:6]
    events = [
        {"id": str(uuid.uuid4()), "kind": "reading", "run": run, "quantity": quantity,
         "typed": format(number, ".12f").rstrip("0").rstrip(".") or "0",
         "taken_at": "2026-10-05T14:03:21Z", "device": "phone"}
        for quantity, number in numbers.items()
    ]  # fmt: skip
    answer = client.post(
        "/api/events", json={"events": events, "group": group}, headers={"x-csrf-token": token}
    )
    check(answer)
    (view,) = answer.json()["runs"]
    for expected in view["expected"].values():
        assert math.isfinite(expected["low"])
        assert math.isfinite(expected["high"])


QUANTITIES = (
    "tare_g", "reagent_mL", "diluent_mL", "vessel_liquid_g", "sample_g", "final_g",
)  # fmt: skip


@settings(FUZZ, max_examples=15)
@given(
    rows=st.lists(
        st.lists(
            st.sampled_from(["0", "0.0000001", "-5", "9999999", "12.5", "1.5", "40", "55.2"]),
            min_size=6,
            max_size=6,
        ),
        min_size=3,
        max_size=6,
    )
)
def test_results_bear_any_readings(client: TestClient, rows: list[list[str]]) -> None:
    token = client.get("/api/series").json()["csrf"]
    group = str(uuid.uuid4())[:8]
    workspace = client.app.app.state.workspace  # type: ignore[attr-defined]  # ours, not ASGI's
    workspace.access.add((group,))
    events = [
        {"id": str(uuid.uuid4()), "kind": "reading", "run": str(run), "quantity": quantity,
         "typed": typed, "taken_at": "2026-10-05T14:03:21Z", "device": "phone"}
        for run, row in enumerate(rows, start=1)
        for quantity, typed in zip(QUANTITIES, row, strict=True)
    ]  # fmt: skip
    sent = client.post(
        "/api/events", json={"events": events, "group": group}, headers={"x-csrf-token": token}
    )
    check(sent)
    assert len(sent.json()["acknowledged"]) == len(events)
    for path in ("/api/series", "/results", "/results/part", "/results/file/readings.csv"):
        check(client.get(path, params={"group": group}))
    shown = client.get("/results", params={"group": group}).text
    assert "Run by run" in shown or "There is no result yet." in shown
    check(client.get("/api/results"))
    check(client.get("/projector"))
