"""``oddcup plan``: how many answers a test needs, a question a file."""
