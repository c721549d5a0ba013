from django.db import migrations, models

from prep.models import triggers


def install(apps, schema_editor):
    # SQLite makes a table anew to add a column to it, and the triggers go with the old one.
    triggers.install(schema_editor.connection)


class Migration(migrations.Migration):

    dependencies = [
        ('prep', '0001_initial'),
    ]

    operations = [
        migrations.AddField(
            model_name='logkey',
            name='note',
            field=models.TextField(default=''),
            preserve_default=False,
        ),
        migrations.RunPython(install, migrations.RunPython.noop),
    ]
