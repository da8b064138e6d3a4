"""The recorder under the load of a lesson; prints what was measured."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

SCRIPT = Path(__file__).parents[2] / "scripts" / "load_bench.py"


def test_a_minute_of_forty_groups(benchmark: Any) -> None:
    def run() -> dict[str, Any]:
        command = [sys.executable, str(SCRIPT), "--devices", "120", "--seconds", "60", "--json"]
        done = subprocess.run(command, check=True, capture_output=True, text=True, timeout=300)
        load: dict[str, Any] = json.loads(done.stdout)
        return load

    load = benchmark.pedantic(run, rounds=1)
    print(
        f"\n{load['devices']} devices, one reading a second, {load['seconds']} s: acknowledged "
        f"after {load['p50_ms']:.0f} ms (median), {load['p99_ms']:.0f} ms (99 of 100); "
        f"{load['errors']} errors; a flood: {load['flood_per_s']:.0f} readings/s, bare durable "
        f"inserts on the same disk: {load['bare_per_s']:.0f}/s"
    )
    assert load["errors"] == 0
    assert load["p99_ms"] < 150
    assert load["flood_per_s"] >= 0.5 * load["bare_per_s"]
