import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    """Keep what a buyer's particulars were before they were corrected."""

    dependencies = [
        ('prep', '0003_registration'),
    ]

    operations = [
        migrations.CreateModel(
            name='FormerParticulars',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=200)),
                ('address', models.TextField(blank=True)),
                ('phone', models.CharField(blank=True, max_length=60)),
                ('email', models.EmailField(blank=True, max_length=254)),
                ('salt', models.CharField(max_length=64)),
                ('command', models.UUIDField(unique=True)),
                ('asked', models.CharField(max_length=64)),
                ('buyer', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='former', to='prep.buyer')),
            ],
        ),
    ]
