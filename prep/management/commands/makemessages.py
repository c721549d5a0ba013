"""`makemessages`: collect the texts of pages and scripts into the catalogs of all languages."""

import re
from pathlib import Path
from typing import Any, Final

from django.conf import settings
from django.core.management.commands import makemessages

IGNORED: Final = [".venv", "node_modules", "tests"]
CREATED: Final = re.compile(r'^"POT-Creation-Date: .*\n', re.MULTILINE)


class Command(makemessages.Command):
    """Django's command, with what this project wants of it set.

    Every language, no guessed translations, nothing obsolete, files without line numbers, and no
    date: a catalog changes only where a text did. Run it in the folder of `manage.py`, once for
    `django` and once for `--domain djangojs`.
    """

    # A text may stand right where it is said: `say(reader, "Released to {whom}.")`.
    xgettext_options = [
        *makemessages.Command.xgettext_options,
        "--keyword=say:2",
        "--keyword=say_count:2,3",
    ]
    msgmerge_options = ["-q", "--backup=none", "--update", "--no-fuzzy-matching"]

    def handle(self, *args: Any, **options: Any) -> None:
        """Collect."""
        options["locale"] = options["locale"] or [
            code for code, _ in settings.LANGUAGES if code != settings.LANGUAGE_CODE
        ]
        options["ignore_patterns"] += IGNORED
        options["add_location"] = options["add_location"] or "file"
        options["no_obsolete"] = True
        super().handle(*args, **options)

    def write_po_file(self, potfile: str, locale: str) -> None:
        """Write one catalog, without the moment it was written."""
        super().write_po_file(potfile, locale)
        catalog = Path(potfile).parent / locale / "LC_MESSAGES" / f"{self.domain}.po"
        catalog.write_text(CREATED.sub("", catalog.read_text()))
