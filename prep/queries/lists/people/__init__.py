"""Lists of people."""
