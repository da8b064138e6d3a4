"""How often slips are found, and how often a clean series is blamed: by simulation, with seeds.

Run it from the top of the repository: ``python -m scripts.study_slips``. It writes a page.
"""
