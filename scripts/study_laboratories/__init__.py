"""Ordinary school laboratories with known truths: every bound must hold in each of them."""
