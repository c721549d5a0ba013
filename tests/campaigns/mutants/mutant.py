"""What a mutant is: a text of the code, and the wrong one in its place."""

from pathlib import Path
from typing import Final, NamedTuple

ROOT: Final = Path(__file__).parents[3]


class Mutant(NamedTuple):
    """One change of the code, and the tests of which at least one has to fail with it."""

    name: str
    path: str
    right: str
    wrong: str
    tests: tuple[str, ...]

    def applied(self, source: str) -> str:
        """The source with the change; ValueError where it does not say exactly where to make it."""
        if source.count(self.right) != 1:
            raise ValueError(f"{self.path} has {source.count(self.right)} times: {self.right}")
        return source.replace(self.right, self.wrong)
