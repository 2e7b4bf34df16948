"""Figures of a scored table: plain data, a drawing in three themes, words and a table of each."""
