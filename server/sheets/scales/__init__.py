"""Kinds of response scale: one file a kind, listed in the registry."""
