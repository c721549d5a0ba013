"""Text columns that refuse a value that is too long before the database does."""

from typing import TYPE_CHECKING, Any

from django.db import models

from prep.record.refusal import Refusal
from prep.record.struct_errors import Fault

if TYPE_CHECKING:
    _Text = models.CharField[str, str]
else:
    _Text = models.CharField  # generic in the stubs only


class Line(_Text):
    """A text column of limited length, one line in a form.

    SQLite stores text of any length, and PostgreSQL fails without naming the field. With this
    check both profiles refuse the same entry with the same words.
    """

    def get_db_prep_save(self, value: Any, connection: Any) -> Any:
        """The value as it is stored; Refusal naming the field where it is too long."""
        if isinstance(value, str) and self.max_length and len(value) > self.max_length:
            raise Refusal(
                "input-unfit",
                field=self.name,
                faults=(Fault((self.name,), "too-long", str(self.max_length)),),
            )
        return super().get_db_prep_save(value, connection)

    def deconstruct(self) -> Any:
        """Describe it to migrations as a plain CharField."""
        name, _, args, kwargs = super().deconstruct()
        return name, "django.db.models.CharField", args, kwargs
