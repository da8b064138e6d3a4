"""The bench app: a local web server; translation only."""
