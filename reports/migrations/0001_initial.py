import django.db.models.deletion
import django.utils.timezone
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('prep', '0001_initial'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='Cursor',
            fields=[
                ('consumer', models.CharField(max_length=40, primary_key=True, serialize=False)),
                ('read', models.PositiveBigIntegerField(default=0)),
            ],
        ),
        migrations.CreateModel(
            name='Heartbeat',
            fields=[
                ('name', models.CharField(max_length=40, primary_key=True, serialize=False)),
                ('seen', models.DateTimeField()),
            ],
        ),
        migrations.CreateModel(
            name='DocumentRequest',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, primary_key=True, serialize=False)),
                ('created', models.DateTimeField(default=django.utils.timezone.now)),
                ('state', models.CharField(choices=[('waiting', 'Waiting'), ('working', 'Working'), ('done', 'Done'), ('failed', 'Failed'), ('cancelled', 'Cancelled')], default='waiting', max_length=10)),
                ('due', models.DateTimeField(default=django.utils.timezone.now)),
                ('tries', models.PositiveSmallIntegerField(default=0)),
                ('worker', models.UUIDField(null=True)),
                ('lease_until', models.DateTimeField(null=True)),
                ('steps_done', models.PositiveIntegerField(default=0)),
                ('steps_total', models.PositiveIntegerField(default=0)),
                ('failure', models.TextField(blank=True)),
                ('finished', models.DateTimeField(null=True)),
                ('kind', models.CharField(max_length=20)),
                ('cause', models.CharField(max_length=64)),
                ('parameters', models.JSONField(default=dict)),
                ('file', models.FileField(blank=True, max_length=300, upload_to='')),
                ('name', models.CharField(blank=True, max_length=200)),
                ('media_type', models.CharField(blank=True, max_length=100)),
                ('digest', models.CharField(blank=True, max_length=64)),
                ('bytes', models.PositiveBigIntegerField(default=0)),
                ('number', models.CharField(blank=True, max_length=60)),
                ('edition', models.PositiveSmallIntegerField(default=0)),
                ('instead', models.CharField(blank=True, max_length=10)),
                ('erased', models.DateTimeField(null=True)),
                ('person', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, to=settings.AUTH_USER_MODEL)),
                ('replaces', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='replaced_by', to='reports.documentrequest')),
                ('unit', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='document_requests', to='prep.unit')),
            ],
        ),
        migrations.CreateModel(
            name='Holding',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('sort', models.CharField(max_length=20)),
                ('subject', models.CharField(max_length=36)),
                ('document', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='holdings', to='reports.documentrequest')),
            ],
        ),
        migrations.CreateModel(
            name='Import',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, primary_key=True, serialize=False)),
                ('created', models.DateTimeField(default=django.utils.timezone.now)),
                ('state', models.CharField(choices=[('waiting', 'Waiting'), ('working', 'Working'), ('done', 'Done'), ('failed', 'Failed'), ('cancelled', 'Cancelled')], default='waiting', max_length=10)),
                ('due', models.DateTimeField(default=django.utils.timezone.now)),
                ('tries', models.PositiveSmallIntegerField(default=0)),
                ('worker', models.UUIDField(null=True)),
                ('lease_until', models.DateTimeField(null=True)),
                ('steps_done', models.PositiveIntegerField(default=0)),
                ('steps_total', models.PositiveIntegerField(default=0)),
                ('failure', models.TextField(blank=True)),
                ('finished', models.DateTimeField(null=True)),
                ('kind', models.CharField(max_length=20)),
                ('name', models.CharField(blank=True, max_length=200)),
                ('content', models.BinaryField(null=True)),
                ('digest', models.CharField(max_length=64)),
                ('notices', models.JSONField(default=list)),
                ('stage', models.CharField(choices=[('check', 'Check'), ('run', 'Run')], default='check', max_length=5)),
                ('run', models.BooleanField(default=False)),
                ('skip_problems', models.BooleanField(default=False)),
                ('next_line', models.PositiveIntegerField(default=0)),
                ('fit', models.PositiveIntegerField(default=0)),
                ('made', models.PositiveIntegerField(default=0)),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='imports', to=settings.AUTH_USER_MODEL)),
                ('site', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='imports', to='prep.site')),
            ],
        ),
        migrations.CreateModel(
            name='ImportProblem',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('line', models.PositiveIntegerField()),
                ('column', models.PositiveIntegerField(default=0)),
                ('header', models.CharField(blank=True, max_length=200)),
                ('refusal', models.JSONField()),
                ('of', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='problems', to='reports.import')),
            ],
        ),
        migrations.CreateModel(
            name='Remake',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, primary_key=True, serialize=False)),
                ('created', models.DateTimeField(default=django.utils.timezone.now)),
                ('state', models.CharField(choices=[('waiting', 'Waiting'), ('working', 'Working'), ('done', 'Done'), ('failed', 'Failed'), ('cancelled', 'Cancelled')], default='waiting', max_length=10)),
                ('due', models.DateTimeField(default=django.utils.timezone.now)),
                ('tries', models.PositiveSmallIntegerField(default=0)),
                ('worker', models.UUIDField(null=True)),
                ('lease_until', models.DateTimeField(null=True)),
                ('steps_done', models.PositiveIntegerField(default=0)),
                ('steps_total', models.PositiveIntegerField(default=0)),
                ('failure', models.TextField(blank=True)),
                ('finished', models.DateTimeField(null=True)),
                ('found', models.CharField(max_length=10)),
                ('outcome', models.CharField(blank=True, choices=[('same', 'Same'), ('stand-in', 'Stand In'), ('intact', 'Intact')], max_length=10)),
                ('document', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='remakes', to='reports.documentrequest')),
                ('person', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, to=settings.AUTH_USER_MODEL)),
                ('stand_in', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='reports.documentrequest')),
            ],
        ),
        migrations.CreateModel(
            name='CheckpointMail',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, primary_key=True, serialize=False)),
                ('created', models.DateTimeField(default=django.utils.timezone.now)),
                ('state', models.CharField(choices=[('waiting', 'Waiting'), ('working', 'Working'), ('done', 'Done'), ('failed', 'Failed'), ('cancelled', 'Cancelled')], default='waiting', max_length=10)),
                ('due', models.DateTimeField(default=django.utils.timezone.now)),
                ('tries', models.PositiveSmallIntegerField(default=0)),
                ('worker', models.UUIDField(null=True)),
                ('lease_until', models.DateTimeField(null=True)),
                ('steps_done', models.PositiveIntegerField(default=0)),
                ('steps_total', models.PositiveIntegerField(default=0)),
                ('failure', models.TextField(blank=True)),
                ('finished', models.DateTimeField(null=True)),
                ('day', models.DateField()),
                ('keeper', models.UUIDField()),
                ('size', models.PositiveBigIntegerField(default=0)),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='checkpoint_mails', to='prep.site')),
            ],
            options={
                'indexes': [models.Index(fields=['state', 'due'], name='checkpoint_mail_due')],
                'constraints': [models.UniqueConstraint(fields=('day', 'keeper'), name='checkpoint_mail_once'), models.CheckConstraint(condition=models.Q(('state__in', ['waiting', 'working', 'done', 'failed', 'cancelled'])), name='checkpoint_mail_state_known')],
            },
        ),
        migrations.AddIndex(
            model_name='documentrequest',
            index=models.Index(fields=['state', 'due'], name='document_due'),
        ),
        migrations.AddIndex(
            model_name='documentrequest',
            index=models.Index(fields=['unit', 'kind', 'created'], name='document_of_unit'),
        ),
        migrations.AddIndex(
            model_name='documentrequest',
            index=models.Index(fields=['created', 'id'], name='document_by_age'),
        ),
        migrations.AddIndex(
            model_name='documentrequest',
            index=models.Index(fields=['number'], name='document_by_number'),
        ),
        migrations.AddIndex(
            model_name='documentrequest',
            index=models.Index(fields=['digest'], name='document_by_digest'),
        ),
        migrations.AddConstraint(
            model_name='documentrequest',
            constraint=models.UniqueConstraint(fields=('kind', 'cause', 'edition'), name='document_once'),
        ),
        migrations.AddConstraint(
            model_name='documentrequest',
            constraint=models.CheckConstraint(condition=models.Q(('state__in', ['waiting', 'working', 'done', 'failed', 'cancelled'])), name='document_state_known'),
        ),
        migrations.AddConstraint(
            model_name='documentrequest',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('state', 'done'), _negated=True), models.Q(models.Q(('file', ''), _negated=True), models.Q(('digest', ''), _negated=True)), _connector='OR'), name='document_done_has_file'),
        ),
        migrations.AddIndex(
            model_name='holding',
            index=models.Index(fields=['sort', 'subject'], name='holding_of'),
        ),
        migrations.AddConstraint(
            model_name='holding',
            constraint=models.UniqueConstraint(fields=('document', 'sort', 'subject'), name='holding_once'),
        ),
        migrations.AddIndex(
            model_name='import',
            index=models.Index(fields=['state', 'due'], name='import_due'),
        ),
        migrations.AddIndex(
            model_name='import',
            index=models.Index(fields=['person', 'created'], name='import_of_person'),
        ),
        migrations.AddConstraint(
            model_name='import',
            constraint=models.CheckConstraint(condition=models.Q(('stage__in', ['check', 'run']), ('state__in', ['waiting', 'working', 'done', 'failed', 'cancelled'])), name='import_state_known'),
        ),
        migrations.AddIndex(
            model_name='importproblem',
            index=models.Index(fields=['of', 'line'], name='import_problem_of_line'),
        ),
        migrations.AddIndex(
            model_name='remake',
            index=models.Index(fields=['state', 'due'], name='remake_due'),
        ),
        migrations.AddConstraint(
            model_name='remake',
            constraint=models.UniqueConstraint(condition=models.Q(('state__in', ['waiting', 'working'])), fields=('document',), name='remake_once_at_a_time'),
        ),
        migrations.AddConstraint(
            model_name='remake',
            constraint=models.CheckConstraint(condition=models.Q(('state__in', ['waiting', 'working', 'done', 'failed', 'cancelled'])), name='remake_state_known'),
        ),
    ]
