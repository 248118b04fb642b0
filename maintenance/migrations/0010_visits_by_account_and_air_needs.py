import django.db.models.deletion
from django.db import migrations, models
from django.db.models import OuterRef, Subquery


def name_accounts(apps, schema_editor):
    """Give each visit, and its history, the account of its site."""
    site = apps.get_model("maintenance", "Site")
    of_site = Subquery(site.objects.filter(pk=OuterRef("site_id")).values("account_id")[:1])
    for name in ("Visit", "HistoricalVisit"):
        apps.get_model("maintenance", name).objects.update(account_id=of_site)


class Migration(migrations.Migration):

    dependencies = [
        ('maintenance', '0009_people'),
    ]

    operations = [
        migrations.RemoveIndex(model_name='visit', name='visit_by_day'),
        migrations.AddField(
            model_name='historicalvisit',
            name='account',
            field=models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='maintenance.account'),
        ),
        migrations.AddField(
            model_name='visit',
            name='account',
            field=models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='visits', to='maintenance.account'),
        ),
        migrations.RunPython(name_accounts, migrations.RunPython.noop),
        migrations.AlterField(
            model_name='visit',
            name='account',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='visits', to='maintenance.account'),
        ),
        migrations.AddIndex(
            model_name='visit',
            index=models.Index(fields=['account', 'planned_on', 'id'], name='visit_by_day'),
        ),
        migrations.AddIndex(
            model_name='visit',
            index=models.Index(condition=models.Q(('state__in', ('planned', 'under_way'))), fields=['account', 'planned_on', 'id'], name='visit_open_by_day'),
        ),
        migrations.AddIndex(
            model_name='visit',
            index=models.Index(fields=['account', 'worker', 'planned_on', 'id'], name='visit_by_worker'),
        ),
        migrations.CreateModel(
            name='SiteAirNeed',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('site_version', models.PositiveIntegerField()),
                ('need', models.CharField(max_length=20)),
                ('least_free_air_m3_per_s', models.FloatField(blank=True, null=True)),
                ('why', models.TextField(blank=True, default='')),
                ('worked_out_at', models.DateTimeField()),
                ('site', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='air_need', to='maintenance.site')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('need__in', ('none', 'small', 'towed', 'unknown'))), name='air_need_is_known')],
            },
        ),
    ]
