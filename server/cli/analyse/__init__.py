"""``oddcup analyse``: a command a file, beside it how its rows are read and its words said."""
