from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('maintenance', '0011_worth_is_stated_whole'),
    ]

    operations = [
        migrations.RemoveIndex(model_name='visit', name='visit_open_by_day'),
        migrations.AddIndex(
            model_name='visit',
            index=models.Index(fields=['account', 'state', 'planned_on', 'id'], name='visit_by_state'),
        ),
    ]
