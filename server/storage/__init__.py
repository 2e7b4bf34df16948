"""Tables, queries, migrations and the portable form of a tasting."""
