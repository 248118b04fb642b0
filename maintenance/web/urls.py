"""Addresses of the office pages."""

from django.urls import URLPattern, URLResolver, include, path

from maintenance.web.addresses import register_ids
from maintenance.web.views import (
    blowout,
    compressors,
    home,
    imports,
    new_site,
    parts,
    season_office,
    season_years,
    sites,
    water_left,
    worksheets,
    zone_help,
)

register_ids()


urlpatterns: list[URLPattern | URLResolver] = [
    path("", home.home, name="home"),
    path("units/", home.choose_units, name="units"),
    path("look/", home.look, name="look"),
    path("demonstration/load/", home.load_demo, name="load_demo"),
    path("demonstration/remove/", home.remove_demo, name="remove_demo"),
    path("import/", imports.import_page, name="import"),
    path("sites/new/", new_site.new_site, name="new_site"),
    path("sites/<id:key>/", sites.site_page, name="site"),
    path("sites/<id:key>/pipes/", new_site.site_pipes, name="site_pipes"),
    path(
        "sites/<id:key>/compressor/", new_site.site_compressor, name="site_compressor"
    ),
    path("sites/<id:key>/blow-out/", blowout.blowout, name="blowout"),
    path(
        "sites/<id:key>/blow-out/<id:zone>/what-helps/",
        zone_help.zone_help,
        name="zone_help",
    ),
    path("sites/<id:key>/water-left/", water_left.water_left, name="water_left"),
    path("", include("maintenance.web.weather_urls")),
    path("", include("maintenance.web.reminder_urls")),
    path("sites/<id:key>/lists/", include("maintenance.web.season_urls")),
    path("sites/<id:key>/lists/", include("maintenance.web.paper_urls")),
    path("sites/<id:key>/years/", season_years.season_years, name="season_years"),
    path("sites/<id:key>/history/", sites.history, name="history"),
    path("sites/<id:key>/file/", sites.site_file, name="site_file"),
    path("sites/<id:key>/retire/", sites.retire, name="retire_site"),
    path("sites/<id:key>/restore/", sites.restore, name="restore_site"),
    path("sites/<id:key>/undo/", parts.undo, name="undo"),
    path("sites/<id:key>/zones/<id:zone>/lay-out/", parts.lay_out, name="lay_out"),
    path("sites/<id:key>/place/", parts.edit_place, name="edit_place"),
    path(
        "sites/<id:key>/<str:section>/add/<str:kind>/", parts.add_part, name="add_part"
    ),
    path(
        "sites/<id:key>/<str:section>/<id:part>/edit/",
        parts.edit_part,
        name="edit_part",
    ),
    path(
        "sites/<id:key>/<str:section>/<id:part>/retire/",
        parts.retire_part,
        name="retire_part",
    ),
    path("", include("maintenance.web.background_urls")),
    path("", include("maintenance.web.people_urls")),
    path("", include("maintenance.web.freeze_urls")),
    path("", include("maintenance.web.visit_urls")),
    path("", include("maintenance.web.assembly_urls")),
    path("", include("maintenance.web.test_urls")),
    path("seasons/", season_office.season_office, name="season_office"),
    path("compressors/", compressors.compressors, name="compressors"),
    path("compressors/new/", compressors.new_compressor, name="new_compressor"),
    path(
        "compressors/<id:key>/edit/",
        compressors.edit_compressor,
        name="edit_compressor",
    ),
    path(
        "compressors/<id:key>/file/",
        compressors.compressor_file,
        name="compressor_file",
    ),
    path("compressors/<id:key>/retire/", compressors.retire, name="retire_compressor"),
    path(
        "compressors/<id:key>/restore/", compressors.restore, name="restore_compressor"
    ),
    path("worksheets/", worksheets.index, name="worksheets"),
    path(
        "worksheets/<str:name>/",
        worksheets.worksheet,
        name="worksheet",
    ),
]
