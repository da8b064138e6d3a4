"""The program's linear algebra takes one thread, unless somebody chose another number."""

from __future__ import annotations

import os
import subprocess
import sys

NAMES = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
COUNT = """
import os
import tarebook
import numpy as np
from scipy import linalg
a = np.ones((600, 600)) + np.eye(600)
a @ a
linalg.solve(a, a)
tasks = "/proc/self/task"  # where a system shows its threads so
print(len(os.listdir(tasks)) if os.path.isdir(tasks) else 1, os.environ.get("OMP_NUM_THREADS"))
"""


def threads_and_setting(**chosen: str) -> list[str]:
    clean = {name: value for name, value in os.environ.items() if name not in NAMES}
    ran = subprocess.run(  # our own interpreter, our own text
        [sys.executable, "-c", COUNT],
        env=clean | chosen,
        capture_output=True,
        text=True,
        check=True,
    )
    return ran.stdout.split()


def test_the_linear_algebra_takes_one_thread() -> None:
    assert threads_and_setting() == ["1", "1"]


def test_what_somebody_chose_is_left() -> None:
    assert threads_and_setting(OPENBLAS_NUM_THREADS="2")[1] == "None"
    assert threads_and_setting(OMP_NUM_THREADS="2")[1] == "2"
