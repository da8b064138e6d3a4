"""Room for the signature of the device that recorded an event; of older events there is none."""

from alembic import op

revision = "0003"
down_revision = "0002"

COLUMNS = (
    "signer TEXT NOT NULL DEFAULT '' CHECK (length(signer) IN (0, 64))",
    "signature TEXT NOT NULL DEFAULT '' CHECK (length(signature) IN (0, 128))",
)


def upgrade() -> None:
    """Add the columns: rows that are there stay as they are."""
    for column in COLUMNS:
        op.execute(f"ALTER TABLE event ADD COLUMN {column}")
