"""Findings of tests in which either sample may be chosen more often, and no answer is right."""
