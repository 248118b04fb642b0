#!/usr/bin/env python3
"""The one command of the tool: ``python manage.py --help``."""

import os
import sys

if sys.version_info < (3, 11):
    sys.exit(
        "This tool needs Python 3.11 or newer and this is Python %d.%d: install a newer "
        "one (on Debian or Ubuntu: apt install python3 python3-venv; elsewhere: "
        "https://www.python.org/downloads/) and make the environment with it."
        % sys.version_info[:2]
    )


def main():
    # type: () -> None
    """Run one command; a fault of the settings is a sentence, not a traceback."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "irrigation_site.settings.base")
    try:
        from django.core.exceptions import ImproperlyConfigured
        from django.core.management import execute_from_command_line
    except ImportError:
        sys.exit(
            "What the tool needs is not installed for this Python (%s): run "
            "`python3 -m venv .venv && .venv/bin/pip install -e .` and then "
            "`.venv/bin/python manage.py …`." % sys.executable
        )
    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as refusal:
        sys.exit(str(refusal))


if __name__ == "__main__":
    main()
