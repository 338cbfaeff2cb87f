"""How far the laws are searched.

Every run takes the same examples, so that a red run is about the change at hand; to search for new ones:

    python -m pytest tests/property --hypothesis-profile=search
"""

from hypothesis import settings

settings.register_profile("laws", max_examples=60, deadline=None, database=None, derandomize=True)
settings.register_profile("search", max_examples=3_000, deadline=None)

if settings.get_current_profile_name() in ("default", "ci"):
    settings.load_profile("laws")
