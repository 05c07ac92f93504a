"""Rows in a database: SQLite on this machine, PostgreSQL for a shared shop, by one set of
statements."""
