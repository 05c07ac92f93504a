"""Where things are kept: so far, the person's own files."""
