"""Settings of the tests: a data folder of their own, cheap hashes, plain static files."""

import os
import tempfile

os.environ.setdefault("WATERSIDE_DATA", tempfile.mkdtemp(prefix="waterside-tests-"))

from config.settings import *  # noqa: F403

CLOCK_MAY_BE_SET = True
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
# Each client begins anew, and would look through all static files
WHITENOISE_AUTOREFRESH = True
