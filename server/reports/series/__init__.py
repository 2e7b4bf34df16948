"""The finding of a rising series: from which concentration on this panel notices it."""
