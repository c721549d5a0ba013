"""Command that corrects what a person is called."""

from collections.abc import Sequence
from typing import ClassVar

from prep.record.command import Facts
from prep.record.fields import Reason
from prep.record.person.events import PersonRenamed
from prep.record.person.needs import FREE_NAME
from prep.record.person.person_command import PersonCommand, PrintedName, UserName
from prep.record.person.state import PersonState
from prep.record.refusal import Refusal
from prep.record.roles import Context


class RenamePerson(PersonCommand, frozen=True, kw_only=True, tag="person.rename"):
    """Correct the name or the user name of a person, both of which are given as they should be.

    The record keeps both names: what was signed before, and documents issued before, say the former
    one. From then on the person signs in with the new user name.
    """

    at_every_yard: ClassVar = True
    needs: ClassVar = (FREE_NAME,)

    name: PrintedName
    username: UserName
    reason: Reason

    def decide(self, state: PersonState, context: Context, facts: Facts) -> Sequence[PersonRenamed]:
        """Something changes, and nobody else has the user name."""
        name = facts[FREE_NAME]
        if (name, self.username) == (state.name, state.username):
            raise Refusal("nothing-changed")
        return [PersonRenamed(self.username, name, self.reason)]
