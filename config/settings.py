"""Settings of one installation: everything that differs between two comes from the environment.

WATERSIDE_DATA   folder of the database, the secret and other files (default: var/dev)
DATABASE_URL     where the store is (default: SQLite in that folder)
WATERSIDE_HOSTS  host names it answers to, separated by commas (default: this machine)
WATERSIDE_HTTPS  "1" where it stands behind TLS: cookies then travel only over it
WATERSIDE_DEMO   "1" marks every page as demo data and lets the clock be set
"""

import os
import secrets
from datetime import timedelta
from pathlib import Path

import dj_database_url

BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = Path(os.environ.get("WATERSIDE_DATA", BASE_DIR / "var" / "dev")).resolve()
DATA_DIR.mkdir(parents=True, exist_ok=True)

DEBUG = os.environ.get("WATERSIDE_DEBUG") == "1"
DEMO = os.environ.get("WATERSIDE_DEMO") == "1"
HTTPS = os.environ.get("WATERSIDE_HTTPS") == "1"


def _secret(path: Path) -> str:
    """Read the installation's secret; a first start writes it, readable by its owner alone."""
    if not path.exists():
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(descriptor, "w") as file:
            file.write(secrets.token_urlsafe(64))
    return path.read_text()


SECRET_KEY = _secret(DATA_DIR / "secret")
ALLOWED_HOSTS = os.environ.get("WATERSIDE_HOSTS", "localhost,127.0.0.1,[::1]").split(",")
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in ALLOWED_HOSTS] if HTTPS else []

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django.contrib.humanize",
    "django_htmx",
    "axes",
    "csp",
    "rest_framework",
    "drf_spectacular",
    "chemistry",  # a bare package: only its translations are looked for
    "records.apps.RecordsConfig",
    "dashboards",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "dashboards.middleware.TerminalMiddleware",
]
ROOT_URLCONF = "config.urls"
WSGI_APPLICATION = "config.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.messages.context_processors.messages",
                "dashboards.context.chrome",
            ],
        },
    }
]

_SQLITE = {
    # Writers queue instead of failing: a read that turns into a write can't be upgraded in WAL.
    "transaction_mode": "IMMEDIATE",
    "timeout": 20,
    "init_command": (
        "PRAGMA journal_mode=WAL;PRAGMA synchronous=FULL;PRAGMA cache_size=-32000;"
        "PRAGMA mmap_size=134217728;PRAGMA temp_store=MEMORY;"
    ),
}
DATABASES = {
    "default": dj_database_url.config(
        default=f"sqlite:///{DATA_DIR / 'waterside.sqlite3'}", conn_max_age=60
    )
}
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    DATABASES["default"]["OPTIONS"] = _SQLITE
    # A file, since the threads of a live server share it.
    DATABASES["default"]["TEST"] = {"NAME": str(DATA_DIR / "test.sqlite3")}
else:
    DATABASES["default"]["CONN_MAX_AGE"] = 0  # the pool keeps the connections
    DATABASES["default"]["OPTIONS"] = {"pool": True}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "records.User"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
# Ten wrong passwords lock that account, for whoever tries from there, for a quarter of an hour.
AXES_FAILURE_LIMIT = 10
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_RESET_ON_SUCCESS = True
AXES_ENABLE_ADMIN = False
AXES_DISABLE_ACCESS_LOG = True
AXES_VERBOSE = False
# The pages say in their own words that an account is locked: no middleware for that.
SILENCED_SYSTEM_CHECKS = ["axes.W002"]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ("username", "name")},
    },
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "home"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
CSRF_FAILURE_VIEW = "dashboards.views.errors.csrf_failure"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'none'"],
        "script-src": ["'self'"],
        "style-src": ["'self'"],
        "img-src": ["'self'", "data:"],
        "connect-src": ["'self'"],
        "form-action": ["'self'"],
        "base-uri": ["'none'"],
        "frame-ancestors": ["'none'"],
    }
}

# A shared terminal locks itself when left; the same limit holds on the server.
TERMINAL_IDLE_SECONDS = 90
PIN_TRIES = 5
PIN_LOCK_MINUTES = 15

# A program is one form: some twelve fields a limit, and a tick for each test of a schedule line.
DATA_UPLOAD_MAX_NUMBER_FIELDS = 5000

# The API: tokens only, JSON only, refusals as RFC 9457 says. No page of it is served.
REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": ["records.api.authentication.BearerAuthentication"],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_PARSER_CLASSES": ["records.api.parsers.BoundedJSONParser"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "DEFAULT_METADATA_CLASS": None,
    "EXCEPTION_HANDLER": "records.api.problems.answer",
    "UNAUTHENTICATED_USER": None,
}
SPECTACULAR_SETTINGS = {
    "OAS_VERSION": "3.1.1",
    "TITLE": "Waterside",
    "DESCRIPTION": "Water chemistry of a steam plant: what is due, and samples with raw readings.",
    "VERSION": "1",
    "SERVE_INCLUDE_SCHEMA": False,
    "SERVE_PUBLIC": True,
    "SERVE_AUTHENTICATION": [],
    "SERVE_PERMISSIONS": [],
    "SCHEMA_PATH_PREFIX": "/api/v1",
    "ENUM_NAME_OVERRIDES": {},
}

USE_TZ = True
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en-us"
USE_I18N = True
LANGUAGES = [("en", "English")]

STATIC_URL = "static/"
# The handbook's pictures lie beside its Markdown.
STATICFILES_DIRS = [("help", BASE_DIR / "dashboards" / "help" / "pictures")]
# Straight out of the installed packages: nothing to collect, nothing third-party in the repo.
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = DEBUG
FIXTURES = BASE_DIR / "fixtures"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"format": "{levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "plain"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
