"""Findings of tests in which servings of two kinds are called one or the other."""
