"""The app at the bench: a local web server; translation only."""
