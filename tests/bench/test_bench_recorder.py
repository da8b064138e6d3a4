"""The recorder under the load of a lesson while one device floods; prints what was measured."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from scripts.torture.flood import flood
from scripts.torture.table import Row, table


def test_a_minute_of_forty_groups(benchmark: Any, tmp_path: Path) -> None:
    def run() -> tuple[Row, Row]:
        return flood(tmp_path / "pool", seed=20, seconds=60)

    rows = benchmark.pedantic(run, rounds=1)
    print(f"\n{table(rows)}")
    assert all(row.is_kept and row.is_quick for row in rows)
