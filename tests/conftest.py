"""How all tests run: property tests have no time limit of their own, since several may share two cores."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("powergood", settings(), deadline=None)
settings.load_profile("powergood")
