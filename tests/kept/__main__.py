"""`python -m tests.kept VERSION`: keep a store of the present release."""

import os
import sys
import tempfile
from pathlib import Path

import django


def main(version: str) -> None:
    with tempfile.TemporaryDirectory(prefix="waterside-kept-") as folder:
        os.environ |= {"WATERSIDE_DEMO": "1", "WATERSIDE_DATA": folder}
        os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
        django.setup()
        from tests.kept.making import make  # here: it needs the settings

        make(version, Path(folder))


if __name__ == "__main__":
    main(sys.argv[1])
