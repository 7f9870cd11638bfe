"""Run migrations on the connection that the program hands over."""

from typing import Literal

from alembic import context

from powergood.store.tables import Names, metadata


def render_item(kind: str, item: object, _context: object) -> str | Literal[False]:
    """Write our own column type as the plain one it is kept as: a migration imports nothing of ours."""
    return "sa.Text()" if kind == "type" and isinstance(item, Names) else False


connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=metadata,
    render_as_batch=True,
    render_item=render_item,
    compare_type=True,
    compare_server_default=True,
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
