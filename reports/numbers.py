"""Document numbers: derived from what the document is made for, so that nobody can guess one."""

import hashlib
from typing import Final

from prep.rules.identity.check_characters import certificate_number

# No I, L, O and U: they are taken for other characters, or spell words.
ALPHABET: Final = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
DRAWN: Final = 11  # characters that come from the cause: 55 bits


def drawn_number(letter: str, cause: str) -> str:
    """Document number: `letter`, characters derived from `cause` by SHA-256, a check character.

    A number whose check character could be taken for another is passed over for the next drawn.
    """
    drawn = hashlib.sha256(cause.encode()).digest()
    while True:
        bits = int.from_bytes(drawn)
        body = "".join(ALPHABET[bits >> (5 * place) & 31] for place in range(DRAWN))
        number = certificate_number(f"{letter}{body}")
        if number[-1] in ALPHABET:
            return number
        drawn = hashlib.sha256(drawn).digest()
