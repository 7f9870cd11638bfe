"""Cells of a grid that were marked bad, kept with a finding.

Revision 0003, after 0002.
"""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("finding", sa.Column("cells", sa.Text(), nullable=False, server_default="[]"))
