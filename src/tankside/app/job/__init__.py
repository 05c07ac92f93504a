"""The job file: its schema, and reading it."""
