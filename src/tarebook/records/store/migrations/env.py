"""Run the migrations over the connection that `tarebook.records.store.opening` hands in."""

from alembic import context

from tarebook.records.store.schema import VERSION_TABLE


def run() -> None:
    """Run what is missing."""
    context.configure(
        connection=context.config.attributes["connection"],
        version_table=VERSION_TABLE,
        # The whole upgrade is one transaction of the caller: all of it is there, or nothing.
        transactional_ddl=True,
    )
    with context.begin_transaction():
        context.run_migrations()


# Only while a command runs has the context a configuration; else the file is merely imported.
if hasattr(context, "config"):
    run()
