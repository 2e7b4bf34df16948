"""A panel's ruler of added water: its marks, what is read off it, and its words."""
