"""What holds where nobody asks for anything else."""

from typing import Final

SEED: Final = 20
"""Of all that is drawn by chance, so that the same readings give the same numbers."""

DRAWS: Final = 100_000
"""Monte Carlo draws of a row."""
