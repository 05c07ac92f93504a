"""A rig as a person edits it: a job's tables as fields, what of it cannot be, and its revisions."""
