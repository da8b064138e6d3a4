"""Experiments and their events, which the database itself keeps from being changed."""

from alembic import op

revision = "0001"
down_revision = None

COLUMNS = """
    sequence    INTEGER NOT NULL CHECK (sequence >= 1),
    received    TEXT NOT NULL,
    id          TEXT NOT NULL CHECK (length(id) = 36),
    kind        TEXT NOT NULL CHECK (kind IN ('reading', 'correction', 'withdrawal')),
    group_name  TEXT NOT NULL CHECK (group_name <> ''),
    run         TEXT NOT NULL CHECK (run <> ''),
    column_name TEXT NOT NULL CHECK (column_name <> ''),
    repeat      INTEGER NOT NULL CHECK (repeat >= 1),
    typed       TEXT NOT NULL,
    number      TEXT NOT NULL,
    unit        TEXT NOT NULL,
    instrument  TEXT NOT NULL,
    who         TEXT NOT NULL,
    device      TEXT NOT NULL CHECK (device <> ''),
    taken       TEXT NOT NULL,
    supersedes  TEXT NOT NULL CHECK ((supersedes = '') = (kind = 'reading')),
    reason      TEXT NOT NULL CHECK ((reason = '') = (kind = 'reading')),
    previous    TEXT NOT NULL CHECK (length(previous) = 64),
    hash        TEXT NOT NULL CHECK (length(hash) = 64),
    PRIMARY KEY (experiment, sequence),
    UNIQUE (experiment, id)
"""

# Without row numbers of its own a table has no other key that INSERT OR REPLACE could meet.
SQLITE_TABLES = f"""
CREATE TABLE experiment (
    number  INTEGER PRIMARY KEY,
    key     TEXT NOT NULL UNIQUE CHECK (length(key) = 36),
    created TEXT NOT NULL
) STRICT;
CREATE TABLE event (
    experiment  INTEGER NOT NULL REFERENCES experiment (number),
    {COLUMNS}
) STRICT, WITHOUT ROWID
"""

# INSERT OR REPLACE deletes the row it meets without asking the trigger on DELETE, but it does ask
# the trigger before the INSERT.
SQLITE_GUARDS = (
    """
    CREATE TRIGGER event_is_never_changed BEFORE UPDATE ON event
    BEGIN SELECT RAISE(ABORT, 'an event is never changed: record a correction'); END
    """,
    """
    CREATE TRIGGER event_is_never_deleted BEFORE DELETE ON event
    BEGIN SELECT RAISE(ABORT, 'an event is never deleted: record a withdrawal'); END
    """,
    """
    CREATE TRIGGER event_id_is_never_used_again BEFORE INSERT ON event
    WHEN EXISTS (SELECT 1 FROM event WHERE experiment = NEW.experiment AND id = NEW.id)
    BEGIN SELECT RAISE(ABORT, 'the id of an event is never used again'); END
    """,
    """
    CREATE TRIGGER event_follows_the_last BEFORE INSERT ON event
    WHEN NEW.sequence IS NOT 1 + coalesce(
            (SELECT max(sequence) FROM event WHERE experiment = NEW.experiment), 0)
        OR NEW.previous IS NOT coalesce(
            (SELECT hash FROM event WHERE experiment = NEW.experiment
             ORDER BY sequence DESC LIMIT 1), NEW.previous)
    BEGIN SELECT RAISE(ABORT, 'an event follows the last one of its experiment'); END
    """,
    """
    CREATE TRIGGER experiment_is_never_changed BEFORE UPDATE ON experiment
    BEGIN SELECT RAISE(ABORT, 'an experiment is never changed'); END
    """,
    """
    CREATE TRIGGER experiment_is_never_deleted BEFORE DELETE ON experiment
    BEGIN SELECT RAISE(ABORT, 'an experiment is never deleted'); END
    """,
    """
    CREATE TRIGGER experiment_is_never_replaced BEFORE INSERT ON experiment
    WHEN EXISTS (SELECT 1 FROM experiment WHERE key = NEW.key OR number = NEW.number)
    BEGIN SELECT RAISE(ABORT, 'an experiment is never replaced'); END
    """,
)

POSTGRESQL_TABLES = f"""
CREATE TABLE experiment (
    number  INTEGER GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    key     TEXT NOT NULL UNIQUE CHECK (length(key) = 36),
    created TEXT NOT NULL
);
CREATE TABLE event (
    experiment  INTEGER NOT NULL REFERENCES experiment (number),
    {COLUMNS}
)
"""

POSTGRESQL_GUARDS = (
    """
    CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
    BEGIN
        RAISE EXCEPTION '% on %: what is recorded is never changed', TG_OP, TG_TABLE_NAME;
    END $$
    """,
    """
    CREATE FUNCTION guard_new_event() RETURNS trigger LANGUAGE plpgsql AS $$
    DECLARE
        last_sequence INTEGER := 0;
        last_hash TEXT := NEW.previous;
    BEGIN
        IF EXISTS (SELECT 1 FROM event WHERE experiment = NEW.experiment AND id = NEW.id) THEN
            RAISE EXCEPTION 'the id of an event is never used again';
        END IF;
        SELECT sequence, hash INTO last_sequence, last_hash FROM event
            WHERE experiment = NEW.experiment ORDER BY sequence DESC LIMIT 1;
        IF NEW.sequence <> 1 + coalesce(last_sequence, 0)
            OR NEW.previous <> coalesce(last_hash, NEW.previous) THEN
            RAISE EXCEPTION 'an event follows the last one of its experiment';
        END IF;
        RETURN NEW;
    END $$
    """,
    "CREATE TRIGGER event_is_kept BEFORE UPDATE OR DELETE ON event "
    "FOR EACH ROW EXECUTE FUNCTION refuse_change()",
    "CREATE TRIGGER event_is_never_emptied BEFORE TRUNCATE ON event "
    "FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()",
    "CREATE TRIGGER event_is_new BEFORE INSERT ON event "
    "FOR EACH ROW EXECUTE FUNCTION guard_new_event()",
    "CREATE TRIGGER experiment_is_kept BEFORE UPDATE OR DELETE ON experiment "
    "FOR EACH ROW EXECUTE FUNCTION refuse_change()",
    "CREATE TRIGGER experiment_is_never_emptied BEFORE TRUNCATE ON experiment "
    "FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()",
    "REVOKE UPDATE, DELETE, TRUNCATE ON event FROM PUBLIC, CURRENT_USER",
    # A new event locks the row of its experiment, for which the owner needs the right to update it.
    "REVOKE DELETE, TRUNCATE ON experiment FROM PUBLIC, CURRENT_USER",
)


def upgrade() -> None:
    """Make the tables and what guards them."""
    postgresql = op.get_bind().dialect.name == "postgresql"
    for statement in (POSTGRESQL_TABLES if postgresql else SQLITE_TABLES).split(";"):
        op.execute(statement)
    for statement in POSTGRESQL_GUARDS if postgresql else SQLITE_GUARDS:
        op.execute(statement)
