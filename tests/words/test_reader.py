"""Filling a text for a reader."""

from prep.words.reader import ENGLISH, Reader, say, say_count


def test_a_value_may_be_called_as_the_functions_own_parameters_are() -> None:
    """An event has a field `text`, and what a person typed there is filled in."""
    assert say(ENGLISH, "{reader}: {text}", reader="Ada", text="Decal torn") == "Ada: Decal torn"
    assert (
        say_count(ENGLISH, "{count} of {one}", "{count} of {many}", 2, many="many") == "2 of many"
    )


def test_a_text_is_said_in_the_readers_language_whatever_the_threads() -> None:
    """A worker draws a Spanish document beside an English one."""
    assert say(Reader(language="es"), "Cancel") != "Cancel"
    assert say(ENGLISH, "Cancel") == "Cancel"
