"""The check of the pages' scripts finds what it is there for, and says so where it cannot run."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

TOP = Path(__file__).parents[1]
STATIC = Path("src/tarebook/web/static")


def check(folder: Path, need: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        ["/bin/sh", "scripts/check-page-scripts.sh", need],
        cwd=folder,
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        check=False,
    )


def test_what_is_planted_is_found(tmp_path: Path) -> None:
    if shutil.which("tsc") is None:
        said = "there is no TypeScript compiler here: sudo apt-get install node-typescript"
        (pytest.fail if os.environ.get("CI") else pytest.skip)(said)
    shutil.copytree(TOP / STATIC, tmp_path / STATIC)
    (tmp_path / "scripts").mkdir()
    for name in ("check-page-scripts.sh", "check-page-scripts.cjs"):
        shutil.copy(TOP / "scripts" / name, tmp_path / "scripts")
    for name in ("tsconfig.json", "tsconfig.worker.json"):
        shutil.copy(TOP / name, tmp_path)
    planted = {
        "planted.js": "export const text = document.boddy;",
        "bench/planted.js": 'import { byId, fill } from "./dom.js";\nbyId("say").remove();',
        "bench/waits.js": 'import { openStore } from "./store.js";\n'
        "openStore();\nvoid openStore();\nopenStore().catch(() => undefined);",
    }
    for name, text in planted.items():
        (tmp_path / STATIC / name).write_text(f"// Planted.\n{text}\n", encoding="utf-8")
    worker = tmp_path / STATIC / "bench" / "worker.js"
    with worker.open("a", encoding="utf-8") as end:
        end.write("export const body = document.body;\n")
    done = check(tmp_path, "required")
    assert done.returncode == 1, done.stderr
    found = [line.split(": ")[0] for line in done.stdout.splitlines() if line.startswith("src")]
    n_lines = len(worker.read_text(encoding="utf-8").splitlines())
    assert sorted(found) == [
        f"{STATIC}/bench/planted.js(2,16)",
        f"{STATIC}/bench/waits.js(3,1)",
        f"{STATIC}/bench/worker.js({n_lines},21)",
        f"{STATIC}/planted.js(2,30)",
    ]


def test_without_the_compiler_it_says_so_and_fails_where_it_is_required() -> None:
    wanted, required = (check(TOP, need, PATH="/nowhere") for need in ("wanted", "required"))
    assert (wanted.returncode, required.returncode) == (0, 1)
    assert "apt-get install node-typescript" in wanted.stdout
    assert "node-typescript" in required.stderr
