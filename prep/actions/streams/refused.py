"""The streams of commands that batches brought and that were refused, one each."""

from typing import Any
from uuid import UUID

from prep.actions.streams.reference import ReferenceStream
from prep.actions.streams.stream import Change, Loaded, Standing
from prep.models import Person, RefusedCommand
from prep.queries.events import refused_commands
from prep.queries.people import roles_at
from prep.record.command import Command
from prep.record.inputs.spelling import id_of
from prep.record.refusal import Refusal
from prep.record.refused.commands import KeepRefused, KeptCommand


class RefusedStream(ReferenceStream):
    """A command that was not taken, until somebody settles it."""

    name = "refused"
    table = RefusedCommand

    def new_target(self, command: Command, command_id: UUID) -> str:
        """Its own id follows already from the refused command and who sent it."""
        return str(command_id)

    def key(self, target: str) -> UUID:
        """The id of the row."""
        return UUID(target)

    def named(self, target: str) -> str:
        """The canonical form of the UUID; of what is none, as of one that does not exist."""
        known = id_of(target)
        if known is None:
            raise _no_such_refused()
        return str(known)

    def standing(self, person: Person, target: str, command: Command) -> Standing:
        """The roles at its site; of no site it is its sender's alone. Two queries."""
        row = self._row(target)
        if not row.site and row.person == str(person.pk):
            return super().standing(person, target, command)
        roles = frozenset(roles_at(person, row.site))
        if not roles:
            raise _no_such_refused()
        return Standing(row.site, roles)

    def site_of(self, target: str, command: Command) -> str:
        """The site it is about."""
        return command.site if isinstance(command, KeepRefused) else self._row(target).site

    def load(self, target: str, version: int | None = None) -> Loaded:
        """Whose it is, and whether it is settled, by somebody or by having been taken since."""
        loaded = super().load(target, version)
        if loaded.version:
            loaded.state = _kept(target)
        return loaded

    def apply(self, loaded: Loaded, change: Change) -> None:
        """Write its row."""
        super().apply(loaded, change)
        values: dict[str, Any] = {"settled": True, "version": loaded.version}
        if isinstance(change.command, KeepRefused):
            values = {
                "command": UUID(change.command.refused),
                "unit": change.command.unit,
                "site": change.command.site,
                "person": change.context.actor.id,
                "settled": False,
                "version": loaded.version,
            }
        RefusedCommand.objects.update_or_create(pk=self.key(change.target), defaults=values)

    def _row(self, target: str) -> RefusedCommand:
        row = RefusedCommand.objects.filter(pk=self.key(target)).first()
        if row is None:
            raise _no_such_refused()
        return row


def _kept(target: str) -> KeptCommand:
    (kept,) = refused_commands([target])
    named = Person.objects.filter(username=kept.event.author).values_list("pk", flat=True)
    return KeptCommand(frozenset({kept.sender, *map(str, named)}), not kept.open)


def _no_such_refused() -> Refusal:
    return Refusal("no-such-refused")
