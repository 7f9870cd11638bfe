"""Minutes taken, where parts came from, numbers set aside, preferences as facts; learned numbers kept.

Revision 0002, after 0001.
"""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def _body(name: str, *columns: sa.Column[Any]) -> None:
    op.create_table(
        name,
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        *columns,
        sa.ForeignKeyConstraint(["number"], ["fact.number"], name=op.f(f"fk_{name}_number_fact")),
        sa.PrimaryKeyConstraint("number", name=op.f(f"pk_{name}")),
    )


def upgrade() -> None:
    _body(
        "took_minutes",
        sa.Column("minutes", sa.Float(), nullable=False),
        sa.Column("covers", sa.Text(), nullable=False),
    )
    _body(
        "part_from",
        sa.Column("instance", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
    )
    _body(
        "set_aside",
        sa.Column("number_id", sa.Text(), nullable=False),
        sa.Column("because", sa.Text(), nullable=False),
    )
    _body(
        "preference_set",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
    )
    op.create_table(
        "learned",
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("numbers", sa.Text(), nullable=False),
        sa.Column("kept_at", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("digest", name=op.f("pk_learned")),
    )
