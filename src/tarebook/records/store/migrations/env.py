"""Run the migrations over the connection that `tarebook.records.store.upgrade` hands in."""

from alembic import context

from tarebook.records.store.schema import VERSION_TABLE

context.configure(
    connection=context.config.attributes["connection"],
    version_table=VERSION_TABLE,
    # The whole upgrade is one transaction of the caller: all of it is there afterwards, or nothing.
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
