"""Triggers by which the database itself refuses to change or delete what was recorded."""

from alembic import op

_SQLITE = """
create trigger {table}_refuse_{act} before {act} on {table}
begin select raise(abort, '{table}: what is recorded is neither changed nor deleted'); end
"""
_POSTGRESQL = """
create function {table}_refuse() returns trigger language plpgsql as $$
begin raise exception '{table}: what is recorded is neither changed nor deleted'; end $$
"""


def make_append_only(table: str) -> None:
    """Refuse UPDATE and DELETE, and TRUNCATE where there is one."""
    if op.get_bind().dialect.name == "sqlite":
        for act in ("update", "delete"):
            op.execute(_SQLITE.format(table=table, act=act))
        return
    op.execute(_POSTGRESQL.format(table=table))
    op.execute(
        f"create trigger {table}_refuse before update or delete or truncate on {table} "
        f"for each statement execute function {table}_refuse()"
    )
