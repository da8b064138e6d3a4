"""Tarebook: from the readings of a mixing series to an answer with an honest uncertainty."""

import os as _os

_OF_ALGEBRA = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")

# Matrices here have tens of rows: threads of the linear algebra only wait for one another, and on a
# shared machine they take every core to do so. It reads this when numpy is first imported, so this
# stands before any such import. A number that somebody chose counts.
if not any(name in _os.environ for name in _OF_ALGEBRA):
    _os.environ.update(dict.fromkeys(_OF_ALGEBRA, "1"))
