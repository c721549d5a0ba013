import django.contrib.auth.models
import django.contrib.auth.validators
import django.db.models.deletion
import django.utils.timezone
import uuid
from django.conf import settings
from django.db import migrations, models

from prep.models import triggers


def install(apps, schema_editor):
    triggers.install(schema_editor.connection)


def remove(apps, schema_editor):
    triggers.remove(schema_editor.connection)


class Migration(migrations.Migration):

    initial = True

    dependencies = [
        ('auth', '0012_alter_user_first_name_max_length'),
    ]

    operations = [
        migrations.CreateModel(
            name='Attempt',
            fields=[
                ('key', models.CharField(max_length=64, primary_key=True, serialize=False)),
                ('used', models.PositiveIntegerField()),
                ('began', models.DateTimeField(db_index=True)),
                ('until', models.DateTimeField(null=True)),
            ],
        ),
        migrations.CreateModel(
            name='Buyer',
            fields=[
                ('name', models.CharField(max_length=200)),
                ('address', models.TextField(blank=True)),
                ('phone', models.CharField(blank=True, max_length=60)),
                ('email', models.EmailField(blank=True, max_length=254)),
                ('salt', models.CharField(max_length=64)),
                ('id', models.UUIDField(default=uuid.uuid4, primary_key=True, serialize=False)),
                ('erased', models.DateTimeField(null=True)),
                ('held', models.TextField(blank=True)),
            ],
        ),
        migrations.CreateModel(
            name='Checkpoint',
            fields=[
                ('size', models.PositiveBigIntegerField(primary_key=True, serialize=False)),
                ('root', models.CharField(max_length=64)),
                ('note', models.TextField()),
                ('created', models.DateTimeField()),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='CheckpointKeeper',
            fields=[
                ('id', models.UUIDField(primary_key=True, serialize=False)),
                ('email', models.EmailField(max_length=254)),
                ('language', models.CharField(max_length=8)),
                ('salt', models.CharField(max_length=64)),
            ],
        ),
        migrations.CreateModel(
            name='Device',
            fields=[
                ('id', models.UUIDField(primary_key=True, serialize=False)),
                ('name', models.CharField(max_length=60)),
                ('key_digest', models.CharField(max_length=64)),
                ('enrolled', models.DateTimeField()),
                ('enrolled_by', models.CharField(max_length=120)),
                ('revoked', models.DateTimeField(null=True)),
                ('contact', models.DateTimeField(null=True)),
                ('unsent', models.PositiveIntegerField(null=True)),
                ('version', models.PositiveIntegerField()),
            ],
        ),
        migrations.CreateModel(
            name='Event',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('stream', models.CharField(max_length=20)),
                ('stream_id', models.CharField(max_length=64)),
                ('version', models.PositiveIntegerField()),
                ('kind', models.CharField(max_length=40)),
                ('schema', models.PositiveSmallIntegerField()),
                ('body', models.TextField()),
                ('actor', models.CharField(max_length=40)),
                ('actor_name', models.CharField(max_length=120)),
                ('site', models.CharField(max_length=20)),
                ('device', models.CharField(max_length=60)),
                ('drift', models.BigIntegerField(null=True)),
                ('named', models.CharField(blank=True, max_length=40)),
                ('named_name', models.CharField(blank=True, max_length=120)),
                ('happened', models.DateTimeField()),
                ('recorded', models.DateTimeField()),
                ('command', models.UUIDField()),
                ('part', models.PositiveSmallIntegerField()),
                ('request', models.CharField(max_length=64)),
                ('facts', models.TextField()),
                ('leaf', models.CharField(max_length=64)),
            ],
        ),
        migrations.CreateModel(
            name='Flag',
            fields=[
                ('id', models.CharField(max_length=60, primary_key=True, serialize=False)),
                ('origin', models.CharField(max_length=20)),
                ('about', models.JSONField(default=dict)),
                ('step', models.CharField(blank=True, max_length=60)),
                ('open', models.BooleanField()),
                ('raised', models.DateTimeField()),
                ('raised_by', models.CharField(max_length=120)),
                ('closed', models.DateTimeField(null=True)),
                ('closed_by', models.CharField(blank=True, max_length=120)),
                ('concession', models.TextField(blank=True)),
            ],
        ),
        migrations.CreateModel(
            name='FormerParticulars',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=200)),
                ('address', models.TextField(blank=True)),
                ('phone', models.CharField(blank=True, max_length=60)),
                ('email', models.EmailField(blank=True, max_length=254)),
                ('salt', models.CharField(max_length=64)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Guest',
            fields=[
                ('id', models.UUIDField(primary_key=True, serialize=False)),
                ('name', models.CharField(max_length=200)),
                ('salt', models.CharField(max_length=64)),
                ('organization', models.CharField(max_length=120)),
                ('units', models.JSONField()),
                ('why', models.TextField()),
                ('until', models.DateTimeField()),
                ('ended', models.DateTimeField(null=True)),
                ('opened', models.DateTimeField(null=True)),
                ('erased', models.DateTimeField(null=True)),
                ('version', models.PositiveIntegerField()),
            ],
        ),
        migrations.CreateModel(
            name='Instrument',
            fields=[
                ('code', models.CharField(max_length=40, primary_key=True, serialize=False)),
                ('kind', models.CharField(max_length=40)),
                ('name', models.CharField(max_length=120)),
                ('due', models.CharField(blank=True, max_length=10)),
                ('out_of_service', models.CharField(blank=True, max_length=300)),
                ('version', models.PositiveIntegerField()),
                ('facts', models.JSONField()),
            ],
        ),
        migrations.CreateModel(
            name='Invitation',
            fields=[
                ('id', models.UUIDField(primary_key=True, serialize=False)),
                ('purpose', models.CharField(max_length=10)),
                ('expires', models.DateTimeField()),
                ('link', models.CharField(max_length=64, unique=True)),
                ('code', models.CharField(max_length=64, unique=True)),
                ('state', models.CharField(default='open', max_length=10)),
                ('mail_after', models.DateTimeField(null=True)),
                ('mail_failing', models.DateTimeField(null=True)),
            ],
        ),
        migrations.CreateModel(
            name='Leaf',
            fields=[
                ('position', models.PositiveBigIntegerField(primary_key=True, serialize=False)),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='LogKey',
            fields=[
                ('verifier', models.CharField(max_length=200, primary_key=True, serialize=False)),
                ('note', models.TextField()),
                ('created', models.DateTimeField()),
            ],
            options={
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='LogoFile',
            fields=[
                ('digest', models.CharField(max_length=64, primary_key=True, serialize=False)),
                ('small', models.CharField(db_index=True, max_length=64)),
            ],
        ),
        migrations.CreateModel(
            name='MachineModel',
            fields=[
                ('code', models.CharField(max_length=40, primary_key=True, serialize=False)),
                ('sort', models.CharField(max_length=10)),
                ('maker', models.CharField(max_length=60)),
                ('manufacturer', models.CharField(max_length=40)),
                ('name', models.CharField(max_length=120)),
                ('revision', models.PositiveIntegerField()),
                ('version', models.PositiveIntegerField()),
                ('facts', models.JSONField()),
            ],
        ),
        migrations.CreateModel(
            name='Manufacturer',
            fields=[
                ('id', models.UUIDField(primary_key=True, serialize=False)),
                ('name', models.CharField(max_length=60)),
                ('aliases', models.JSONField(default=list)),
                ('spellings', models.TextField()),
                ('version', models.PositiveIntegerField()),
            ],
        ),
        migrations.CreateModel(
            name='Membership',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('role', models.CharField(choices=[('technician', 'technician'), ('service manager', 'service manager'), ('sales', 'sales'), ('auditor', 'auditor'), ('administrator', 'administrator')], max_length=20)),
            ],
        ),
        migrations.CreateModel(
            name='PasswordGiven',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('place', models.CharField(max_length=64)),
                ('password', models.CharField(max_length=80)),
                ('at', models.DateTimeField()),
            ],
        ),
        migrations.CreateModel(
            name='PendingFile',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('intent', models.UUIDField(db_index=True)),
                ('name', models.CharField(db_index=True, max_length=120)),
                ('stated', models.DateTimeField(auto_now_add=True)),
            ],
        ),
        migrations.CreateModel(
            name='PersonalRead',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('at', models.DateTimeField(auto_now_add=True)),
                ('reader', models.CharField(max_length=60)),
                ('reader_name', models.CharField(max_length=200)),
                ('sort', models.CharField(max_length=20)),
                ('subject', models.CharField(blank=True, max_length=64)),
                ('how', models.CharField(max_length=20)),
                ('rows', models.PositiveIntegerField()),
                ('asked', models.JSONField(default=dict)),
                ('sites', models.TextField()),
            ],
        ),
        migrations.CreateModel(
            name='Photo',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, primary_key=True, serialize=False)),
                ('digest', models.CharField(db_index=True, max_length=64)),
                ('small', models.CharField(db_index=True, max_length=64)),
                ('people', models.BooleanField(default=False)),
                ('erased', models.DateTimeField(null=True)),
            ],
        ),
        migrations.CreateModel(
            name='ProcedureRevision',
            fields=[
                ('digest', models.CharField(max_length=64, primary_key=True, serialize=False)),
                ('procedure', models.CharField(max_length=40)),
                ('revision', models.PositiveIntegerField()),
                ('title', models.CharField(max_length=200)),
                ('model_codes', models.JSONField()),
                ('document', models.JSONField()),
                ('published', models.DateTimeField()),
            ],
        ),
        migrations.CreateModel(
            name='Reading',
            fields=[
                ('id', models.CharField(max_length=40, primary_key=True, serialize=False)),
                ('step', models.CharField(max_length=60)),
                ('line', models.CharField(max_length=60)),
                ('position', models.CharField(blank=True, max_length=60)),
                ('kind', models.CharField(max_length=20)),
                ('current', models.BooleanField()),
                ('raw', models.CharField(max_length=400)),
                ('verdict', models.CharField(max_length=60)),
                ('quantity', models.CharField(blank=True, max_length=40)),
                ('canonical', models.CharField(blank=True, max_length=60)),
                ('unit_symbol', models.CharField(blank=True, max_length=20)),
                ('limit', models.JSONField(null=True)),
                ('limit_source', models.CharField(blank=True, max_length=300)),
                ('instrument', models.CharField(blank=True, max_length=40)),
                ('instrument_due', models.CharField(blank=True, max_length=10)),
                ('person', models.CharField(max_length=40)),
                ('person_name', models.CharField(max_length=120)),
                ('happened', models.DateTimeField()),
                ('recorded', models.DateTimeField()),
            ],
        ),
        migrations.CreateModel(
            name='Recipient',
            fields=[
                ('handover', models.UUIDField(primary_key=True, serialize=False)),
                ('name', models.CharField(max_length=200)),
                ('salt', models.CharField(max_length=64)),
                ('erased', models.DateTimeField(null=True)),
            ],
        ),
        migrations.CreateModel(
            name='RefusedCommand',
            fields=[
                ('id', models.UUIDField(primary_key=True, serialize=False)),
                ('command', models.UUIDField()),
                ('unit', models.CharField(blank=True, max_length=36)),
                ('site', models.CharField(blank=True, max_length=20)),
                ('person', models.CharField(max_length=40)),
                ('settled', models.BooleanField(default=False)),
                ('version', models.PositiveIntegerField()),
            ],
        ),
        migrations.CreateModel(
            name='Session',
            fields=[
                ('session_key', models.CharField(max_length=40, primary_key=True, serialize=False, verbose_name='session key')),
                ('session_data', models.TextField(verbose_name='session data')),
                ('expire_date', models.DateTimeField(db_index=True, verbose_name='expire date')),
                ('device', models.UUIDField(db_index=True, null=True)),
            ],
            options={
                'verbose_name': 'session',
                'verbose_name_plural': 'sessions',
                'abstract': False,
            },
        ),
        migrations.CreateModel(
            name='Shortage',
            fields=[
                ('id', models.CharField(max_length=60, primary_key=True, serialize=False)),
                ('part', models.CharField(max_length=120)),
                ('count', models.PositiveIntegerField()),
                ('stops_release', models.BooleanField()),
                ('expected', models.CharField(blank=True, max_length=60)),
                ('lent_to', models.CharField(blank=True, max_length=120)),
                ('noted', models.DateTimeField()),
                ('noted_by', models.CharField(max_length=120)),
                ('arrived', models.DateTimeField(null=True)),
                ('arrived_by', models.CharField(blank=True, max_length=120)),
            ],
        ),
        migrations.CreateModel(
            name='SignOff',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('version', models.PositiveIntegerField()),
                ('step', models.CharField(blank=True, max_length=60)),
                ('meaning', models.CharField(max_length=40)),
                ('content', models.CharField(max_length=64)),
                ('person', models.CharField(max_length=40)),
                ('person_name', models.CharField(max_length=120)),
                ('happened', models.DateTimeField()),
                ('stands', models.BooleanField()),
            ],
        ),
        migrations.CreateModel(
            name='Site',
            fields=[
                ('code', models.CharField(max_length=20, primary_key=True, serialize=False)),
                ('name', models.CharField(max_length=120)),
                ('dealer', models.CharField(max_length=120)),
                ('time_zone', models.CharField(max_length=60)),
                ('street', models.CharField(blank=True, max_length=120)),
                ('place', models.CharField(blank=True, max_length=120)),
                ('region', models.CharField(blank=True, max_length=120)),
                ('postal_code', models.CharField(blank=True, max_length=20)),
                ('country', models.CharField(blank=True, max_length=2)),
                ('phone', models.CharField(blank=True, max_length=60)),
                ('email', models.CharField(blank=True, max_length=254)),
                ('web', models.CharField(blank=True, max_length=200)),
                ('hours', models.JSONField(default=list)),
                ('holidays', models.JSONField(default=dict)),
                ('letterhead', models.JSONField(default=list)),
                ('logo', models.CharField(blank=True, max_length=64)),
                ('version', models.PositiveIntegerField(default=0)),
            ],
        ),
        migrations.CreateModel(
            name='Token',
            fields=[
                ('id', models.UUIDField(primary_key=True, serialize=False)),
                ('signed_in', models.BooleanField(default=False)),
                ('name', models.CharField(blank=True, max_length=60)),
                ('hint', models.CharField(max_length=20)),
                ('scopes', models.JSONField(default=list)),
                ('digest', models.CharField(max_length=64, unique=True)),
                ('fingerprint', models.CharField(max_length=80)),
                ('issued', models.DateTimeField()),
                ('expires', models.DateTimeField()),
                ('used', models.DateTimeField(null=True)),
                ('revoked', models.DateTimeField(null=True)),
                ('version', models.PositiveIntegerField(default=0)),
            ],
        ),
        migrations.CreateModel(
            name='TreeNode',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('level', models.PositiveSmallIntegerField()),
                ('index', models.PositiveBigIntegerField()),
                ('hash', models.CharField(max_length=64)),
            ],
        ),
        migrations.CreateModel(
            name='Unit',
            fields=[
                ('id', models.UUIDField(primary_key=True, serialize=False)),
                ('maker', models.CharField(max_length=60)),
                ('manufacturer', models.CharField(max_length=40)),
                ('serial', models.CharField(max_length=60)),
                ('serial_key', models.CharField(max_length=60)),
                ('look_alike_key', models.CharField(max_length=60)),
                ('former_serials', models.TextField(blank=True)),
                ('joined_into', models.CharField(blank=True, max_length=40)),
                ('place', models.CharField(blank=True, max_length=60)),
                ('model', models.CharField(blank=True, max_length=40)),
                ('model_name', models.CharField(blank=True, max_length=120)),
                ('options', models.JSONField(default=list)),
                ('state', models.CharField(max_length=40)),
                ('version', models.PositiveIntegerField()),
                ('procedure', models.CharField(blank=True, max_length=40)),
                ('revision', models.PositiveIntegerField(default=0)),
                ('ready_for_stock', models.BooleanField(default=False)),
                ('ready_for_buyer', models.BooleanField(default=False)),
                ('reasons', models.JSONField(default=list)),
                ('first_reason', models.JSONField(null=True)),
                ('reason_count', models.PositiveSmallIntegerField(default=0)),
                ('alike', models.CharField(blank=True, max_length=400)),
                ('readiness_rank', models.PositiveSmallIntegerField(default=2)),
                ('steps_done', models.PositiveSmallIntegerField(default=0)),
                ('steps_total', models.PositiveSmallIntegerField(default=0)),
                ('steps_left', models.PositiveSmallIntegerField(default=0)),
                ('open_flags', models.PositiveSmallIntegerField(default=0)),
                ('buyer', models.CharField(blank=True, max_length=40)),
                ('tractor', models.CharField(blank=True, max_length=40)),
                ('received', models.DateTimeField(null=True)),
                ('released', models.DateTimeField(null=True)),
                ('handed_over', models.DateTimeField(null=True)),
                ('registration', models.CharField(default='not-due', max_length=10)),
                ('registration_due', models.CharField(blank=True, max_length=10)),
            ],
        ),
        migrations.CreateModel(
            name='UnitCount',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('facet', models.CharField(max_length=20)),
                ('units', models.PositiveIntegerField(default=0)),
            ],
        ),
        migrations.CreateModel(
            name='UnitStep',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('step', models.CharField(max_length=60)),
                ('ordinal', models.PositiveSmallIntegerField()),
                ('section', models.CharField(max_length=120)),
                ('title', models.CharField(max_length=200)),
                ('status', models.CharField(max_length=40)),
            ],
        ),
        migrations.CreateModel(
            name='Person',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('password', models.CharField(max_length=128, verbose_name='password')),
                ('last_login', models.DateTimeField(blank=True, null=True, verbose_name='last login')),
                ('is_superuser', models.BooleanField(default=False, help_text='Designates that this user has all permissions without explicitly assigning them.', verbose_name='superuser status')),
                ('username', models.CharField(error_messages={'unique': 'A user with that username already exists.'}, help_text='Required. 150 characters or fewer. Letters, digits and @/./+/-/_ only.', max_length=150, unique=True, validators=[django.contrib.auth.validators.UnicodeUsernameValidator()], verbose_name='username')),
                ('email', models.EmailField(blank=True, max_length=254, verbose_name='email address')),
                ('is_staff', models.BooleanField(default=False, help_text='Designates whether the user can log into this admin site.', verbose_name='staff status')),
                ('is_active', models.BooleanField(default=True, help_text='Designates whether this user should be treated as active. Unselect this instead of deleting accounts.', verbose_name='active')),
                ('date_joined', models.DateTimeField(default=django.utils.timezone.now, verbose_name='date joined')),
                ('printed_name', models.CharField(max_length=120)),
                ('pin', models.CharField(blank=True, max_length=200)),
                ('status', models.CharField(default='active', max_length=10)),
                ('language', models.CharField(default='en', max_length=8)),
                ('units', models.CharField(default='us', max_length=8)),
                ('decimal_comma', models.BooleanField(null=True)),
                ('phone', models.CharField(blank=True, max_length=60)),
                ('contact_salt', models.CharField(blank=True, max_length=64)),
                ('groups', models.ManyToManyField(blank=True, help_text='The groups this user belongs to. A user will get all permissions granted to each of their groups.', related_name='user_set', related_query_name='user', to='auth.group', verbose_name='groups')),
                ('user_permissions', models.ManyToManyField(blank=True, help_text='Specific permissions for this user.', related_name='user_set', related_query_name='user', to='auth.permission', verbose_name='user permissions')),
            ],
            options={
                'verbose_name': 'user',
                'verbose_name_plural': 'users',
                'abstract': False,
            },
            managers=[
                ('objects', django.contrib.auth.models.UserManager()),
            ],
        ),
        migrations.CreateModel(
            name='Card',
            fields=[
                ('id', models.UUIDField(default=uuid.uuid4, primary_key=True, serialize=False)),
                ('kind', models.CharField(max_length=30)),
                ('manufacturer', models.CharField(blank=True, max_length=60)),
                ('number', models.CharField(blank=True, max_length=60)),
                ('valid_until', models.DateField()),
                ('withdrawn', models.BooleanField(default=False)),
                ('salt', models.CharField(max_length=64)),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='cards', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='Unsealed',
            fields=[
                ('event', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, primary_key=True, serialize=False, to='prep.event')),
            ],
        ),
        migrations.AddIndex(
            model_name='event',
            index=models.Index(fields=['kind', 'recorded'], name='event_by_kind'),
        ),
        migrations.AddConstraint(
            model_name='event',
            constraint=models.UniqueConstraint(fields=('stream', 'stream_id', 'version'), name='event_version_once'),
        ),
        migrations.AddConstraint(
            model_name='event',
            constraint=models.UniqueConstraint(fields=('command', 'part'), name='event_command_once'),
        ),
        migrations.AddField(
            model_name='formerparticulars',
            name='buyer',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='former', to='prep.buyer'),
        ),
        migrations.AddField(
            model_name='invitation',
            name='person',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='invitations', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='leaf',
            name='event',
            field=models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='sealed', to='prep.event'),
        ),
        migrations.AddIndex(
            model_name='machinemodel',
            index=models.Index(fields=['name', 'code'], name='model_by_name'),
        ),
        migrations.AddConstraint(
            model_name='machinemodel',
            constraint=models.CheckConstraint(condition=models.Q(('sort__in', ['machine', 'tractor'])), name='model_sort_known'),
        ),
        migrations.AddIndex(
            model_name='manufacturer',
            index=models.Index(fields=['name', 'id'], name='manufacturer_by_name'),
        ),
        migrations.AddField(
            model_name='membership',
            name='person',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='memberships', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='passwordgiven',
            name='person',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='passwords_given', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddConstraint(
            model_name='pendingfile',
            constraint=models.UniqueConstraint(fields=('intent', 'name'), name='pending_file_once'),
        ),
        migrations.AddIndex(
            model_name='personalread',
            index=models.Index(fields=['at', 'id'], name='personal_read_by_age'),
        ),
        migrations.AddIndex(
            model_name='personalread',
            index=models.Index(fields=['subject'], name='personal_read_of'),
        ),
        migrations.AddIndex(
            model_name='procedurerevision',
            index=models.Index(fields=['published', 'digest'], name='procedure_by_age'),
        ),
        migrations.AddIndex(
            model_name='procedurerevision',
            index=models.Index(fields=['procedure', 'revision', 'digest'], name='procedure_by_name'),
        ),
        migrations.AddConstraint(
            model_name='procedurerevision',
            constraint=models.UniqueConstraint(fields=('procedure', 'revision'), name='procedure_revision_once'),
        ),
        migrations.AddIndex(
            model_name='refusedcommand',
            index=models.Index(fields=['unit'], name='refused_by_unit'),
        ),
        migrations.AddIndex(
            model_name='refusedcommand',
            index=models.Index(fields=['site', 'settled'], name='refused_by_site'),
        ),
        migrations.AddField(
            model_name='session',
            name='person',
            field=models.ForeignKey(null=True, on_delete=django.db.models.deletion.CASCADE, related_name='sessions', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddIndex(
            model_name='site',
            index=models.Index(fields=['name', 'code'], name='site_by_name'),
        ),
        migrations.AddField(
            model_name='membership',
            name='site',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='memberships', to='prep.site'),
        ),
        migrations.AddField(
            model_name='instrument',
            name='site',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='instruments', to='prep.site'),
        ),
        migrations.AddField(
            model_name='guest',
            name='site',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='guests', to='prep.site'),
        ),
        migrations.AddField(
            model_name='device',
            name='site',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='devices', to='prep.site'),
        ),
        migrations.AddField(
            model_name='checkpointkeeper',
            name='site',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='keepers', to='prep.site'),
        ),
        migrations.AddField(
            model_name='buyer',
            name='site',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='buyers', to='prep.site'),
        ),
        migrations.AddField(
            model_name='person',
            name='system_at',
            field=models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='systems', to='prep.site'),
        ),
        migrations.AddField(
            model_name='token',
            name='device',
            field=models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='tokens', to='prep.device'),
        ),
        migrations.AddField(
            model_name='token',
            name='person',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='tokens', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddField(
            model_name='token',
            name='site',
            field=models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='tokens', to='prep.site'),
        ),
        migrations.AddConstraint(
            model_name='treenode',
            constraint=models.UniqueConstraint(fields=('level', 'index'), name='tree_node_once'),
        ),
        migrations.AddField(
            model_name='unit',
            name='site',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='units', to='prep.site'),
        ),
        migrations.AddField(
            model_name='signoff',
            name='unit',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, to='prep.unit'),
        ),
        migrations.AddField(
            model_name='shortage',
            name='unit',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, to='prep.unit'),
        ),
        migrations.AddField(
            model_name='reading',
            name='unit',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, to='prep.unit'),
        ),
        migrations.AddField(
            model_name='photo',
            name='unit',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='photos', to='prep.unit'),
        ),
        migrations.AddField(
            model_name='flag',
            name='unit',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, to='prep.unit'),
        ),
        migrations.AddField(
            model_name='unitcount',
            name='site',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='unit_counts', to='prep.site'),
        ),
        migrations.AddField(
            model_name='unitstep',
            name='unit',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, to='prep.unit'),
        ),
        migrations.AddIndex(
            model_name='card',
            index=models.Index(fields=['valid_until', 'id'], name='card_by_end'),
        ),
        migrations.AddIndex(
            model_name='invitation',
            index=models.Index(condition=models.Q(('mail_after__isnull', False)), fields=['mail_after'], name='invitation_to_mail'),
        ),
        migrations.AddConstraint(
            model_name='invitation',
            constraint=models.UniqueConstraint(condition=models.Q(('state', 'open')), fields=('person',), name='invitation_one_open'),
        ),
        migrations.AddConstraint(
            model_name='passwordgiven',
            constraint=models.UniqueConstraint(fields=('place', 'person'), name='password_given_once'),
        ),
        migrations.AddIndex(
            model_name='membership',
            index=models.Index(fields=['site', 'role', 'id'], name='membership_by_site'),
        ),
        migrations.AddConstraint(
            model_name='membership',
            constraint=models.UniqueConstraint(fields=('site', 'person', 'role'), name='membership_once'),
        ),
        migrations.AddConstraint(
            model_name='membership',
            constraint=models.CheckConstraint(condition=models.Q(('role__in', ['technician', 'service manager', 'sales', 'auditor', 'administrator'])), name='membership_role_known'),
        ),
        migrations.AddIndex(
            model_name='instrument',
            index=models.Index(fields=['kind', 'name', 'code'], name='instrument_by_kind'),
        ),
        migrations.AddIndex(
            model_name='instrument',
            index=models.Index(fields=['due', 'code'], name='instrument_by_due'),
        ),
        migrations.AddIndex(
            model_name='guest',
            index=models.Index(fields=['until', 'id'], name='guest_by_until'),
        ),
        migrations.AddIndex(
            model_name='device',
            index=models.Index(fields=['name', 'id'], name='device_by_name'),
        ),
        migrations.AddIndex(
            model_name='device',
            index=models.Index(fields=['site', 'name', 'id'], name='device_of_site_by_name'),
        ),
        migrations.AddConstraint(
            model_name='checkpointkeeper',
            constraint=models.UniqueConstraint(fields=('site', 'email'), name='keeper_once'),
        ),
        migrations.AddIndex(
            model_name='buyer',
            index=models.Index(fields=['name', 'id'], name='buyer_by_name'),
        ),
        migrations.AddIndex(
            model_name='person',
            index=models.Index(fields=['printed_name', 'id'], name='person_by_name'),
        ),
        migrations.AddIndex(
            model_name='token',
            index=models.Index(fields=['issued', 'id'], name='token_by_age'),
        ),
        migrations.AddIndex(
            model_name='unit',
            index=models.Index(fields=['manufacturer', 'look_alike_key'], name='unit_look_alike'),
        ),
        migrations.AddIndex(
            model_name='unit',
            index=models.Index(fields=['site', 'state'], name='unit_by_state'),
        ),
        migrations.AddIndex(
            model_name='unit',
            index=models.Index(fields=['received', 'id'], name='unit_by_age'),
        ),
        migrations.AddIndex(
            model_name='unit',
            index=models.Index(fields=['serial', 'id'], name='unit_by_serial'),
        ),
        migrations.AddIndex(
            model_name='unit',
            index=models.Index(fields=['readiness_rank', 'steps_left', 'received', 'id'], name='unit_by_readiness'),
        ),
        migrations.AddIndex(
            model_name='unit',
            index=models.Index(fields=['registration_due', 'id'], name='unit_by_registration_due'),
        ),
        migrations.AddIndex(
            model_name='unit',
            index=models.Index(condition=models.Q(('registration', 'due')), fields=['registration_due', 'id'], name='unit_to_register'),
        ),
        migrations.AddIndex(
            model_name='unit',
            index=models.Index(condition=models.Q(('handed_over', None)), fields=['alike', 'readiness_rank', 'received', 'id'], name='unit_in_yard'),
        ),
        migrations.AddIndex(
            model_name='unit',
            index=models.Index(condition=models.Q(('handed_over', None)), fields=['site', 'alike', 'readiness_rank', 'received', 'id'], name='unit_in_yard_of_site'),
        ),
        migrations.AddIndex(
            model_name='unit',
            index=models.Index(fields=['site', 'received', 'id'], name='unit_of_site_by_age'),
        ),
        migrations.AddConstraint(
            model_name='unit',
            constraint=models.UniqueConstraint(condition=models.Q(('joined_into', '')), fields=('manufacturer', 'serial_key'), name='unit_serial_once'),
        ),
        migrations.AddConstraint(
            model_name='signoff',
            constraint=models.UniqueConstraint(fields=('unit', 'version'), name='sign_off_once'),
        ),
        migrations.AddConstraint(
            model_name='signoff',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('person_name', ''), _negated=True), models.Q(('meaning', ''), _negated=True), models.Q(('person', ''), _negated=True)), name='sign_off_has_name_and_meaning'),
        ),
        migrations.AddIndex(
            model_name='shortage',
            index=models.Index(fields=['noted', 'id'], name='shortage_by_age'),
        ),
        migrations.AddIndex(
            model_name='reading',
            index=models.Index(fields=['instrument', 'happened'], name='reading_by_instrument'),
        ),
        migrations.AddIndex(
            model_name='reading',
            index=models.Index(fields=['happened', 'id'], name='reading_by_age'),
        ),
        migrations.AddIndex(
            model_name='flag',
            index=models.Index(fields=['raised', 'id'], name='flag_by_age'),
        ),
        migrations.AddConstraint(
            model_name='unitcount',
            constraint=models.UniqueConstraint(fields=('site', 'facet'), name='unit_count_once'),
        ),
        migrations.AddConstraint(
            model_name='unitstep',
            constraint=models.UniqueConstraint(fields=('unit', 'step'), name='unit_step_once'),
        ),
        migrations.RunPython(install, remove),
    ]
