import json

from django.db import migrations, models


def fill(apps, schema_editor):
    """Say of every unit what its events say."""
    Unit, Event = apps.get_model("prep", "Unit"), apps.get_model("prep", "Event")
    Unit.objects.exclude(handed_over=None).update(registration="due")
    kinds = ["registration.sent", "registration.answered"]
    for event in Event.objects.filter(stream="unit", kind__in=kinds).order_by("version").iterator():
        body = json.loads(event.body)
        answer = "accepted" if body.get("accepted") else "refused"
        state = "sent" if event.kind == "registration.sent" else answer
        Unit.objects.filter(pk=event.stream_id).update(registration=state)


class Migration(migrations.Migration):
    """Keep where a unit's registration stands in its row, so that lists can ask for it."""

    dependencies = [("prep", "0002_guards")]
    operations = [
        migrations.AddField(
            model_name="unit",
            name="registration",
            field=models.CharField(default="not due", max_length=10),
        ),
        migrations.RunPython(fill, migrations.RunPython.noop),
    ]
