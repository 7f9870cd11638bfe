"""The pages of the bench: a Starlette app that reads forms, calls `bench`, and renders its views.

Public names: `create_app`. Nothing here computes advice or touches the database, and every finding can be
recorded without JavaScript.
"""

from __future__ import annotations

from powergood.web.app import create_app

__all__ = ["create_app"]
