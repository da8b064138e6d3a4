"""Ten seconds of load: nothing is lost. `make bench` does the whole minute and measures speed."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

SCRIPT = Path(__file__).parents[2] / "scripts" / "load_bench.py"


def test_forty_groups_record_at_once() -> None:
    command = [sys.executable, str(SCRIPT), "--devices", "120", "--seconds", "10", "--json"]
    done = subprocess.run(command, check=True, capture_output=True, text=True, timeout=180)
    load = json.loads(done.stdout)
    assert load["sent"] == 1200
    assert load["errors"] == 0
    assert load["acknowledged"] > load["sent"]
    assert load["recorded"] == load["acknowledged"]
