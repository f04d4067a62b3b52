"""Lots and what happened to them."""

import sqlalchemy as sa
from alembic import op

from wortline.store.migrations.append_only import make_append_only

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make the tables of lots."""
    revisions = ["revisions.number"]
    op.create_table(
        "lots",
        sa.Column("number", sa.Integer, autoincrement=False),
        sa.Column("id", sa.String(64), nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("started_at", sa.String(27), nullable=False),
        sa.Column("recipe", sa.Integer, nullable=False),
        sa.Column("rig", sa.Integer, nullable=False),
        sa.Column("day", sa.Integer),
        sa.Column("method", sa.String(20), nullable=False),
        sa.Column("system", sa.String(20), nullable=False),
        sa.Column("frozen", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_lots"),
        sa.UniqueConstraint("id", name="uq_lots_id"),
        sa.ForeignKeyConstraint(["recipe"], revisions, "fk_lots_recipe"),
        sa.ForeignKeyConstraint(["rig"], revisions, "fk_lots_rig"),
        sa.ForeignKeyConstraint(["day"], revisions, "fk_lots_day"),
    )
    op.create_table(
        "lot_entries",
        sa.Column("lot", sa.Integer, autoincrement=False),
        sa.Column("number", sa.Integer, autoincrement=False),
        sa.Column("id", sa.String(64), nullable=False),
        sa.Column("line", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("lot", "number", name="pk_lot_entries"),
        sa.UniqueConstraint("lot", "id", name="uq_lot_entries_lot_id"),
        sa.ForeignKeyConstraint(["lot"], ["lots.number"], "fk_lot_entries_lot"),
        sqlite_with_rowid=False,
    )
    make_append_only("lots")
    make_append_only("lot_entries")
