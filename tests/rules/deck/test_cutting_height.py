"""Stop segments: which heights they reach, which is best, and what to move."""

from itertools import combinations as subsets

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prep.rules.catalog.catalog import RuleRefusal
from prep.rules.deck import cutting_height
from prep.rules.deck.cutting_height import StopChoice
from prep.words.rules.advice import SENTENCES

many = settings(max_examples=60, derandomize=True)

INCH = 0.0254
INVENTED = (1.5 * INCH, 1.0 * INCH, 0.75 * INCH)  # segments of an invented model


def choose(
    wanted: float,
    counts: tuple[int, ...] = (1, 2, 1),
    fitted: tuple[int, ...] = (0, 0, 0),
    rod_space: float = 8.0,
    tolerance: float = 0.01,
) -> StopChoice:
    """Stops of the invented model, all in inches: 2 in with none, ratio 2."""
    lengths = (wanted * INCH, tolerance * INCH, 2 * INCH, 2.0)
    return cutting_height.choose_stops(*lengths, INVENTED, counts, fitted, rod_space * INCH)


def heights(thicknesses: list[int], counts: list[int], space: int) -> list[int]:
    """Every sum of single segments that fits, in millimeters: the other way to count."""
    pieces = [size for size, count in zip(thicknesses, counts, strict=True) for _ in range(count)]
    sums = {sum(some) for number in range(len(pieces) + 1) for some in subsets(pieces, number)}
    return sorted(one for one in sums if one <= space)


@many
@given(
    st.lists(st.tuples(st.integers(5, 60), st.integers(0, 3)), min_size=1, max_size=4),
    st.integers(0, 300),
)
def test_reachable_heights_are_every_sum_that_fits_the_rod(
    kinds: list[tuple[int, int]], space: int
) -> None:
    """Against the sums of all subsets of single segments."""
    sizes, counts = [kind[0] for kind in kinds], [kind[1] for kind in kinds]
    reach = cutting_height.reachable(
        0.05,
        2.0,
        tuple(size / 1000 for size in sizes),
        tuple(float(count) for count in counts),
        space / 1000,
    )
    assert [round((height - 0.05) / 2 * 1000, 6) for height in reach.heights] == heights(
        sizes, counts, space
    )


def test_the_lever_carries_a_segment_to_the_deck() -> None:
    """One inch on the rod, two at the blade."""
    height = cutting_height.from_stops(2 * INCH, 2.0, INVENTED, (0.0, 1.0, 0.0))
    assert height / INCH == pytest.approx(4.0)


def test_a_height_the_segments_give_exactly_is_reached() -> None:
    """6.5 in: 2 and twice 2.25, that is 1 1/2 and 3/4."""
    choice = choose(6.5)
    assert choice.finding == "reached"
    assert choice.best.counts == (1, 0, 1)
    assert choice.error == 0


def test_of_two_heights_equally_near_the_higher_is_chosen() -> None:
    """Between 2 and 3.5 in: scalping does the harm."""
    choice = choose(2.75)
    assert choice.best.height / INCH == pytest.approx(3.5)
    assert choice.finding == "nearest"


def test_of_two_stacks_alike_the_one_with_fewest_segments_is_chosen() -> None:
    """One of 1 1/2 in before two of 3/4 in."""
    choice = choose(5.0, counts=(1, 0, 2))
    assert choice.best.counts == (1, 0, 0)


def test_a_height_beyond_the_segments_says_so() -> None:
    """All of them: 2 + 2 x 4.25 = 10.5 in."""
    choice = choose(12.0)
    assert choice.finding == "too-high-for-stops"
    assert choice.best.counts == (1, 2, 1)
    assert choice.error / INCH == pytest.approx(-1.5)


def test_a_height_under_the_bare_rod_says_so() -> None:
    """With no segment it stands at 2 in."""
    assert choose(1.0).finding == "too-low-for-stops"
    assert choose(1.0).best.counts == (0, 0, 0)


def test_a_stack_longer_than_the_bare_rod_is_not_offered() -> None:
    """Only 2 in of rod: 1 1/2 in is the most that fits with these."""
    choice = choose(12.0, rod_space=1.6)
    assert choice.best.counts == (1, 0, 0)


def test_the_tolerance_itself_is_reached() -> None:
    """A quarter over, a quarter allowed."""
    assert choose(3.25, tolerance=0.25).finding == "reached"
    assert choose(3.25, tolerance=0.249).finding == "nearest"


def test_segments_come_off_before_others_go_on_with_the_deck_blocked() -> None:
    """The sentence of each begins with that caution, in front of what it protects."""
    choice = choose(6.5, fitted=(0, 2, 0))
    assert [(move.do, move.values["count"]) for move in choice.moves] == [
        ("take-segments-off", 2),
        ("put-segments-on", 1),
        ("put-segments-on", 1),
    ]
    for move in choice.moves:
        assert SENTENCES[move.do].startswith("With the deck blocked and the pressure off")
    assert [move.amount / INCH for move in choice.moves] == pytest.approx([1.0, 1.5, 0.75])
    assert {move.unit for move in choice.moves} == {"m"}


def test_nothing_is_moved_when_the_right_segments_are_on() -> None:
    """The best is what is there."""
    assert choose(6.5, fitted=(1, 0, 1)).moves == ()


@many
@given(st.floats(0.5, 14))
def test_no_other_reachable_height_is_nearer(wanted: float) -> None:
    """Against the list of all heights."""
    choice = choose(wanted)
    reach = cutting_height.reachable(2 * INCH, 2.0, INVENTED, (1.0, 2.0, 1.0), 8 * INCH)
    nearest = min(abs(height - wanted * INCH) for height in reach.heights)
    assert abs(choice.best.height - wanted * INCH) == pytest.approx(nearest, abs=2e-9)


@many
@given(st.floats(2, 10), st.floats(0.01, 2))
def test_a_higher_wish_never_gives_a_lower_deck(wanted: float, more: float) -> None:
    """Monotone."""
    assert choose(wanted + more).best.height >= choose(wanted).best.height


@pytest.mark.parametrize(
    ("counts", "fitted", "field", "code"),
    [
        ((1, 2), (0, 0, 0), "counts", "one-count-for-each"),
        ((1, 2, 1), (0, 0), "fitted", "one-count-for-each"),
        ((1, 2, 1), (2, 0, 0), "fitted", "more-fitted-than-there-are"),
        ((1, 2, 1.5), (0, 0, 0), "counts", "not-whole"),
    ],
)
def test_counts_that_cannot_be_are_refused_by_name(
    counts: tuple[int, ...], fitted: tuple[int, ...], field: str, code: str
) -> None:
    """Each refusal names its field."""
    with pytest.raises(RuleRefusal) as refusal:
        choose(5.0, counts=counts, fitted=fitted)
    assert (refusal.value.field, refusal.value.code) == (field, code)


def test_a_boxful_of_segments_is_refused_rather_than_tried_for_ever() -> None:
    """21^5 stacks are more than anyone has on a rod."""
    with pytest.raises(RuleRefusal, match="too-many-segments") as refusal:
        cutting_height.reachable(0.05, 1.0, (0.01,) * 5, (20.0,) * 5, 3.0)
    assert refusal.value.field == "counts"


@pytest.mark.parametrize(
    ("inches", "finding"),
    [(3.0, "not-below-usual"), (2.999, "below-usual")],
)
def test_three_inches_are_the_usual_least_for_a_rotary_cutter(inches: float, finding: str) -> None:
    """Two articles and a guide: 3 in, 76 mm; an advice."""
    advisory = cutting_height.advisory(inches * INCH)
    assert advisory.finding == finding
    assert (advisory.advice is None) == (inches == 3.0)


def test_a_low_deck_is_told_how_far_to_come_up() -> None:
    """Two inches: one more, unless the manufacturer allows less."""
    advice = cutting_height.advisory(2 * INCH).advice
    assert advice is not None
    assert advice.do == "raise-deck"
    assert advice.amount == pytest.approx(INCH)
    assert advice.unit == "m"
