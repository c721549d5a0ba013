"""Titles of the columns of imports."""

from prep.words.reader import Reader, say


def column_title(title: str, reader: Reader) -> str:
    """The title of a column; it was marked where the column is declared."""
    return say(reader, title)
