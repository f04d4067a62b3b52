"""Documents as revisions, and what was put out of sight."""

import sqlalchemy as sa
from alembic import op

from wortline.store.migrations.append_only import make_append_only

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the first tables."""
    op.create_table(
        "revisions",
        sa.Column("number", sa.Integer, autoincrement=False),
        sa.Column("document", sa.Integer, nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("why", sa.Text, nullable=False),
        sa.Column("parent", sa.Integer),
        sa.Column("saved_at", sa.String(27), nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.Column("key", sa.String(64), nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_revisions"),
        sa.ForeignKeyConstraint(["document"], ["revisions.number"], "fk_revisions_document"),
        sa.ForeignKeyConstraint(["parent"], ["revisions.number"], "fk_revisions_parent"),
        sa.UniqueConstraint("parent", name="uq_revisions_parent"),
        sa.UniqueConstraint("key", name="uq_revisions_key"),
    )
    op.create_index("ix_revisions_document_number", "revisions", ["document", "number"])
    op.create_table(
        "shelf_acts",
        sa.Column("number", sa.Integer, autoincrement=False),
        sa.Column("document", sa.Integer, nullable=False),
        sa.Column("act", sa.String(10), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_shelf_acts"),
        sa.ForeignKeyConstraint(["document"], ["revisions.number"], "fk_shelf_acts_document"),
        sa.CheckConstraint("act in ('discard', 'restore')", name="act"),
    )
    op.create_index("ix_shelf_acts_document_number", "shelf_acts", ["document", "number"])
    make_append_only("revisions")
    make_append_only("shelf_acts")
