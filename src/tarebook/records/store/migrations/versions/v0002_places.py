"""Where the folder of each record is: a copy of it does not write into the record of the first."""

from alembic import op

revision = "0002"
down_revision = "0001"

COLUMNS = """
    experiment INTEGER NOT NULL REFERENCES experiment (number),
    number     INTEGER NOT NULL CHECK (number >= 1),
    host       TEXT NOT NULL,
    path       TEXT NOT NULL,
    mark       TEXT NOT NULL,
    since      TEXT NOT NULL,
    PRIMARY KEY (experiment, number)
"""

SQLITE = (
    f"CREATE TABLE place ({COLUMNS}) STRICT, WITHOUT ROWID",
    """
    CREATE TRIGGER place_is_never_changed BEFORE UPDATE ON place
    BEGIN SELECT RAISE(ABORT, 'a place is never changed: another one follows it'); END
    """,
    """
    CREATE TRIGGER place_is_never_deleted BEFORE DELETE ON place
    BEGIN SELECT RAISE(ABORT, 'a place is never deleted: another one follows it'); END
    """,
)

POSTGRESQL = (
    f"CREATE TABLE place ({COLUMNS})",
    "CREATE TRIGGER place_is_kept BEFORE UPDATE OR DELETE ON place "
    "FOR EACH ROW EXECUTE FUNCTION refuse_change()",
    "CREATE TRIGGER place_is_never_emptied BEFORE TRUNCATE ON place "
    "FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()",
    "REVOKE UPDATE, DELETE, TRUNCATE ON place FROM PUBLIC, CURRENT_USER",
)


def upgrade() -> None:
    """Make the table and what guards it."""
    for statement in POSTGRESQL if op.get_bind().dialect.name == "postgresql" else SQLITE:
        op.execute(statement)
