"""Exact binomial tests, Thurstonian models, power: pure functions of numbers."""
