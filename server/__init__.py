"""Oddcup: blind tastings at a coffee bench, from question to finding."""
