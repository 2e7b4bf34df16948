"""The oddcup command."""
