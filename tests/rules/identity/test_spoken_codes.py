"""Codes to read out: no look-alikes, and a check that finds slips."""

import random
from itertools import pairwise

from prep.rules.identity.check_characters import hybrid_check
from prep.rules.identity.spoken_codes import ALPHABET, CODES, LENGTH, heard_code, spoken_code


def codes(count: int) -> list[str]:
    """Some codes, the first and the last among them, without their dash."""
    chance = random.Random(29)
    numbers = [0, CODES - 1, *(chance.randrange(CODES) for _ in range(count))]
    return [spoken_code(number).replace("-", "") for number in numbers]


def test_no_two_characters_that_are_mistaken_for_each_other_occur() -> None:
    """Zero and O, one and I, five and S, eight and B, two and Z, U and V."""
    assert len(set(ALPHABET)) == len(ALPHABET) == 28
    for pair in ("0O", "1I", "5S", "8B", "2Z", "UV"):
        assert len(set(pair) & set(ALPHABET)) < 2


def test_the_procedure_is_the_standards_own_for_ten_and_thirty_six_characters() -> None:
    """ISO/IEC 7064, MOD 11,10: 0794 has the check 5 (the standard's example, value from memory)."""
    assert hybrid_check([0, 7, 9, 4], 10) == 5


def test_every_single_wrong_character_is_found() -> None:
    """Because 29 is prime; tried at each place with each character."""
    for code in codes(40):
        assert heard_code(code) is not None
        for place in range(LENGTH):
            for other in set(ALPHABET) - {code[place]}:
                assert heard_code(code[:place] + other + code[place + 1 :]) is None


def test_nearly_every_exchange_of_neighbors_is_found() -> None:
    """Counted: more than 99 of 100."""
    tried = missed = 0
    for code in codes(2000):
        for place, (left, right) in enumerate(pairwise(code)):
            if left != right:
                tried += 1
                swapped = code[:place] + right + left + code[place + 2 :]
                missed += heard_code(swapped) is not None
    assert missed < tried / 100


def test_a_code_is_heard_however_it_is_written() -> None:
    """Small letters, spaces, dashes of any length; nothing else."""
    code = spoken_code(12_345_678_901)
    for written in (code.lower(), f" {code[:5]} – {code[6:]} ", code.replace("-", "")):
        assert heard_code(written) == code
    for none in ("", code + "2", code[:-1], code.replace("-", "/"), "ÀÀÀÀÀ-ÀÀÀÀÀ"):
        assert heard_code(none) is None
