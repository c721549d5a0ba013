from django.db import migrations

from prep.models import guards


def install(apps, schema_editor):
    guards.install(schema_editor.connection)


def remove(apps, schema_editor):
    guards.remove(schema_editor.connection)


class Migration(migrations.Migration):
    """Let the database itself refuse to change the log."""

    dependencies = [("prep", "0001_tables")]
    operations = [migrations.RunPython(install, remove)]
