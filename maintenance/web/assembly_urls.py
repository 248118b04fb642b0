"""Addresses of backflow assemblies: what is due, the register, kit and rules."""

from django.urls import URLPattern, path

from maintenance.web.views import (
    assemblies,
    assembly_events,
    assembly_facts,
    assembly_photos,
    due,
    gauges,
    rules,
    rules_edit,
    testers,
)

_HERE = "sites/<id:key>/assemblies/<id:link>/<number:device_id>/"

urlpatterns: list[URLPattern] = [
    path("backflow/", due.due_list, name="due_list"),
    path("backflow/due.csv", due.due_csv, name="due_csv"),
    path("backflow/register/", assemblies.register, name="assembly_register"),
    path("backflow/rules/", rules.rules, name="rules"),
    path("backflow/rules/new/", rules_edit.new, name="new_rule"),
    path("backflow/rules/<id:rule_id>/<number:version>/", rules.rule, name="rule"),
    path(
        "backflow/rules/<id:rule_id>/<number:version>/supersede/",
        rules_edit.supersede,
        name="supersede_rule",
    ),
    path("backflow/testers/", testers.testers, name="testers"),
    path("backflow/testers/new/", testers.new, name="new_tester"),
    path("backflow/testers/<number:kit_id>/", testers.edit, name="edit_tester"),
    path(
        "backflow/testers/<number:kit_id>/retire/",
        testers.retire,
        name="retire_tester",
    ),
    path("backflow/gauges/", gauges.gauges, name="gauges"),
    path("backflow/gauges/new/", gauges.new, name="new_gauge"),
    path("backflow/gauges/<number:kit_id>/", gauges.edit, name="edit_gauge"),
    path("backflow/gauges/<number:kit_id>/retire/", gauges.retire, name="retire_gauge"),
    path(
        "sites/<id:key>/assemblies/", assemblies.site_register, name="site_assemblies"
    ),
    path("sites/<id:key>/assemblies/<id:link>/", assemblies.assembly, name="assembly"),
    path(_HERE, assemblies.assembly, name="one_assembly"),
    path(f"{_HERE}if-removed/", assemblies.removal, name="if_removed"),
    path(f"{_HERE}facts/", assembly_facts.facts, name="assembly_facts"),
    path(f"{_HERE}tell/", assembly_events.tell, name="assembly_event"),
    path(
        f"{_HERE}told/<number:event_id>/take-back/",
        assembly_events.take_back,
        name="take_back_event",
    ),
    path(f"{_HERE}photos/add/", assembly_photos.add, name="add_photo"),
    path(
        f"{_HERE}photos/<number:photo_id>/",
        assembly_photos.photo,
        name="assembly_photo",
    ),
    path(
        f"{_HERE}photos/<number:photo_id>/remove/",
        assembly_photos.remove,
        name="remove_photo",
    ),
]
