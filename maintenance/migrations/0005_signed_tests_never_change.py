from django.db import migrations

TABLE = "maintenance_testrecord"
SAYS = "a signed test never changes"

SQLITE = (
    f"""CREATE TRIGGER signed_test_is_not_changed BEFORE UPDATE ON {TABLE}
    BEGIN SELECT RAISE(ABORT, '{SAYS}'); END""",
    f"""CREATE TRIGGER signed_test_is_not_deleted BEFORE DELETE ON {TABLE}
    WHEN NOT OLD.demo BEGIN SELECT RAISE(ABORT, '{SAYS}'); END""",
)
POSTGRESQL = (
    f"""CREATE FUNCTION refuse_to_change_a_signed_test() RETURNS trigger AS $$
    BEGIN RAISE EXCEPTION '{SAYS}' USING ERRCODE = 'integrity_constraint_violation';
    END $$ LANGUAGE plpgsql""",
    f"""CREATE TRIGGER signed_test_is_not_changed BEFORE UPDATE ON {TABLE}
    FOR EACH ROW EXECUTE FUNCTION refuse_to_change_a_signed_test()""",
    f"""CREATE TRIGGER signed_test_is_not_deleted BEFORE DELETE ON {TABLE}
    FOR EACH ROW WHEN (NOT OLD.demo)
    EXECUTE FUNCTION refuse_to_change_a_signed_test()""",
)
BACK = {
    "sqlite": (
        "DROP TRIGGER signed_test_is_not_changed",
        "DROP TRIGGER signed_test_is_not_deleted",
    ),
    "postgresql": (
        f"DROP TRIGGER signed_test_is_not_changed ON {TABLE}",
        f"DROP TRIGGER signed_test_is_not_deleted ON {TABLE}",
        "DROP FUNCTION refuse_to_change_a_signed_test()",
    ),
}


def run(statements):
    def step(apps, schema_editor):
        for statement in statements[schema_editor.connection.vendor]:
            schema_editor.execute(statement)

    return step


class Migration(migrations.Migration):
    dependencies = [("maintenance", "0004_backflow_tests")]

    operations = [
        migrations.RunPython(
            run({"sqlite": SQLITE, "postgresql": POSTGRESQL}), run(BACK)
        ),
    ]
