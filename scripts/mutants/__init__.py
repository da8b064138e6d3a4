"""How many small faults the tests see: each is planted in a copy, and the tests that reach it run.

Run it from the top of the repository: ``python -m scripts.mutants``.
"""
