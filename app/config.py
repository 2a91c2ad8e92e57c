"""Every number that a person running Spanbook might ask about, with its reason."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

MEGABYTE = 1_000_000

# A phone's own photo is 0.3 to 2 MB; 40 MB lets an undecoded original through.
PHOTO_LIMIT_BYTES = 40 * MEGABYTE
# A day's work with signatures is well under 1 MB; the phone sends in parts.
SYNC_LIMIT_BYTES = 8 * MEGABYTE
OTHER_LIMIT_BYTES = 1 * MEGABYTE
# The largest picture that is ever decoded whole: 50 million pixels take about 150 MB of memory.
PIXEL_LIMIT = 50_000_000
# The largest JPEG that is shown: it is decoded at an eighth of its size or more, so 200 million pixels take no more memory than that.
JPEG_PIXEL_LIMIT = 200_000_000

PULL_PAGE_ENTRIES = 500
PULL_PAGE_CHARACTERS = 2_000_000

# Long enough for a job in the hills; each visit starts the days anew.
SESSION_DAYS = 90
PASSWORD_LEAST_CHARACTERS = 10
# Only refused sign-ins count.
SIGN_IN_PER_ACCOUNT = "10 per 5 minutes"
SIGN_IN_PER_ADDRESS = "30 per 5 minutes"
# A token can't be guessed; this only keeps someone from trying in earnest. Right tokens don't count.
WRONG_SHARES_PER_ADDRESS = "30 per 5 minutes"
SHARE_NOTE_LONGEST = 120

# Each compiles or packs one thing at a time; more would only make all of them slower.
JOB_WORKERS = 2
JOBS_AT_ONCE = 12
JOBS_AT_ONCE_PER_PERSON = 3
JOB_KEPT_SECONDS = 3600
# The oldest goes first, so that nobody fills the disk by asking again and again.
JOBS_KEPT_PER_PERSON = 8

LINKS_PER_PAGE = 50
ROWS_PER_PAGE = 200


def flask_settings(secret_key: str) -> dict[str, Any]:
    """Flask's settings. The session cookie turns Secure by itself on https (see `app.sync.cookie`)."""
    return {
        "SECRET_KEY": secret_key,
        "PERMANENT_SESSION_LIFETIME": timedelta(days=SESSION_DAYS),
        "SESSION_COOKIE_NAME": "spanbook_session",
        "SESSION_COOKIE_HTTPONLY": True,
        "SESSION_COOKIE_SAMESITE": "Lax",
        "MAX_CONTENT_LENGTH": OTHER_LIMIT_BYTES,
        # A token must outlive days without signal; it dies with the session.
        "WTF_CSRF_TIME_LIMIT": None,
        # Checked by app.sync.guard, after sign-in, so that an expired session answers 401 and not 403.
        "WTF_CSRF_CHECK_DEFAULT": False,
        "RATELIMIT_STORAGE_URI": "memory://",
    }
