"""Whatever is typed, the reader answers and keeps its promises."""

from tests.rules.entries.fuzzed import broken, entries

SAMPLE = 1_500


def test_no_entry_brings_the_reader_down_or_makes_it_break_a_promise() -> None:
    """A sample; `python -m tests.rules.entries.fuzzed` reads 200,000 of the same kind."""
    faults = {entry: fault for entry in entries(SAMPLE) if (fault := broken(entry))}
    assert faults == {}
