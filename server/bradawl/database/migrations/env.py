"""Alembic's entry: the connection comes from `connection.migrate`, one transaction for all.

A migration names its own tables and columns and never imports today's models: they move on,
a migration does not.
"""

from alembic import context

connection = context.config.attributes["connection"]
context.configure(connection=connection, transactional_ddl=True)
context.run_migrations()
