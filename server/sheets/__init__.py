"""Score sheets: what a panel's scores on several attributes support."""
