"""Everything in a store as one file of open formats, and back into an empty store."""
