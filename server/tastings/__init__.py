"""Use cases: the only code that commits."""
