"""What the answers support: analysis of a tasting, words, tables, figures."""
