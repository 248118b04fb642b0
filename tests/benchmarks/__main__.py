"""Print the table: ``python -m tests.benchmarks``."""

import os

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "irrigation_site.settings.testing")

from tests.benchmarks.measure import as_table, measure_all
from tests.benchmarks.visit_list import kept_visits, visit_list_page

if __name__ == "__main__":
    print(
        "CPU time over that of a plain loop of 1,000,000 steps beside it, median of 5:"
    )
    print()
    with kept_visits():
        print(as_table((*measure_all(), visit_list_page())))
