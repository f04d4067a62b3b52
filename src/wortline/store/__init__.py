"""Where documents are kept: SQLite in a folder, PostgreSQL by its address, or memory."""
