"""Requests at the edges of the calendar, of numbers and of bytes, against the published schema."""
