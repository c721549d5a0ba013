from django.db import migrations

import prep.models.fields


class Migration(migrations.Migration):
    dependencies = [("prep", "0001_initial")]

    operations = [
        migrations.AddField(
            model_name="reading",
            name="kind",
            field=prep.models.fields.Line(max_length=20, default="reading"),
            preserve_default=False,
        ),
    ]
