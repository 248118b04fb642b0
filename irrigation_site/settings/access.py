"""Settings about people: who may come in, and what protects their way in.

IRRIGATION_ACCOUNTS
    ``1`` for people who sign in. Without it the tool is one person's on this machine.
IRRIGATION_HOSTS
    The names under which it is reached from elsewhere, ``plan.example.org``. They
    make it speak https alone. Without them only this machine reaches it, by http.
IRRIGATION_BEHIND_PROXY
    ``1`` where one proxy of yours ends the https and sets ``X-Forwarded-Proto`` and
    ``X-Forwarded-For``. Never set it where others reach the port directly.
IRRIGATION_EMAIL_VERIFICATION
    ``mandatory`` (the default), ``optional`` or ``none``: whether a new address must
    be confirmed before it counts. An invitation confirms the address that it went to.
SECRET_KEY_FALLBACKS
    Former keys, by commas, that still open what they signed.
"""

from django.core.exceptions import ImproperlyConfigured

from irrigation_site.settings.surroundings import env

ACCOUNTS = env.bool("IRRIGATION_ACCOUNTS", default=False)
LOOPBACK = ["127.0.0.1", "localhost"]
PUBLIC_HOSTS: list[str] = env.list("IRRIGATION_HOSTS", default=[])
HTTPS = bool(PUBLIC_HOSTS)
SECRET_KEY_FALLBACKS: list[str] = env.list("SECRET_KEY_FALLBACKS", default=[])

if PUBLIC_HOSTS and not ACCOUNTS:
    raise ImproperlyConfigured(
        "IRRIGATION_HOSTS is set, but there are no accounts that would keep others "
        "out: set IRRIGATION_ACCOUNTS=1 as well, or leave IRRIGATION_HOSTS away."
    )
if any("*" in host or host.startswith(".") for host in PUBLIC_HOSTS):
    raise ImproperlyConfigured(
        "IRRIGATION_HOSTS must name each host in full: a pattern would let letters "
        "carry links to a host that is not yours."
    )
ALLOWED_HOSTS = PUBLIC_HOSTS or LOOPBACK

# --- Signing in -------------------------------------------------------------

AUTHENTICATION_BACKENDS = ["allauth.account.auth_backends.AuthenticationBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
        "NumericPasswordValidator",
    )
]
for _validator in AUTH_PASSWORD_VALIDATORS:
    if _validator["NAME"].endswith("MinimumLengthValidator"):
        _validator["OPTIONS"] = {"min_length": 12}  # type: ignore[assignment]
LOGIN_URL = "account_login"
LOGIN_REDIRECT_URL = "home"

ACCOUNT_ADAPTER = "maintenance.web.access.adapter.Adapter"
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*", "password1*", "password2*"]
ACCOUNT_EMAIL_VERIFICATION = env.str(
    "IRRIGATION_EMAIL_VERIFICATION", default="mandatory"
)
ACCOUNT_EMAIL_SUBJECT_PREFIX = ""
ACCOUNT_LOGOUT_REDIRECT_URL = "account_login"
ACCOUNT_SESSION_REMEMBER = True
ACCOUNT_USER_DISPLAY = "maintenance.web.access.adapter.shown"
ACCOUNT_DEFAULT_HTTP_PROTOCOL = "https" if HTTPS else "http"
# Whoever may not be in is told so one by one at each of these doors. `login_failed`
# counts by address and name together, so that a stranger's guesses elsewhere do not
# keep the owner of the name out; the two slower ones stop guesses from many places.
ACCOUNT_RATE_LIMITS = {
    "login": "30/m/ip",
    "login_failed": "4/15m/key",
    "login_failed_address": "40/h/ip",
    "login_failed_person": "80/d/key",
}

MFA_SUPPORTED_TYPES = ["totp", "webauthn", "recovery_codes"]
MFA_PASSKEY_LOGIN_ENABLED = True
MFA_FORMS = {"add_webauthn": "maintenance.web.forms.passkey.PasskeyForm"}
MFA_TOTP_ISSUER = "Irrigation in winter"
# Browsers offer passkeys on http for the name localhost alone, for trying out.
MFA_WEBAUTHN_ALLOW_INSECURE_ORIGIN = not HTTPS

# --- Counting wrong tries: in the database, so that all processes count together ---

CACHES = {
    "default": {
        "BACKEND": "django.core.cache.backends.db.DatabaseCache",
        "LOCATION": "maintenance_held",
        # Whoever floods it must not push the counts of others out.
        "OPTIONS": {"MAX_ENTRIES": 200_000},
    }
}

# --- Cookies and https ------------------------------------------------------
# `__Host-` ties a cookie to this host, to https and to the path `/`: a neighbour
# below the same domain can neither read nor plant it.

_BEFORE = "__Host-" if HTTPS else ""
SESSION_COOKIE_NAME = f"{_BEFORE}sessionid"
CSRF_COOKIE_NAME = f"{_BEFORE}csrftoken"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
MESSAGE_STORAGE = (
    "django.contrib.messages.storage.session.SessionStorage"
    if HTTPS
    else "django.contrib.messages.storage.fallback.FallbackStorage"
)
SECURE_SSL_REDIRECT = HTTPS
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = HTTPS
# To be put on the browsers' own list is for the owner of the domain to ask.
SILENCED_SYSTEM_CHECKS = ["security.W021"]
if env.bool("IRRIGATION_BEHIND_PROXY", default=False):
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    ALLAUTH_TRUSTED_PROXY_COUNT = 1
