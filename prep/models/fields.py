"""Columns that say what is wrong with a value before a database does."""

from typing import TYPE_CHECKING, Any

from django.db import models

from prep.record.refusal import Refusal

if TYPE_CHECKING:
    _Text = models.CharField[str, str]
else:
    _Text = models.CharField  # generic in the stubs only


class Line(_Text):
    """A text of limited length.

    SQLite keeps whatever it is given and PostgreSQL fails without naming the field; both profiles
    must refuse the same entry with the same words.
    """

    def get_db_prep_save(self, value: Any, connection: Any) -> Any:
        """The value as it is stored; Refusal naming the field where it is too long."""
        if isinstance(value, str) and self.max_length and len(value) > self.max_length:
            raise Refusal(
                "text-too-long",
                f"“{self.verbose_name}” has {len(value)} characters, and {self.max_length} are "
                "kept. Shorten it.",
                field=self.name,
            )
        return super().get_db_prep_save(value, connection)

    def deconstruct(self) -> Any:
        """In migrations it is the plain column that it is."""
        name, _, args, kwargs = super().deconstruct()
        return name, "django.db.models.CharField", args, kwargs
