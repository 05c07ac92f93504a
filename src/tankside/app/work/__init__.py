"""Long work of the pages and the API: queued, done in worker processes, kept in a folder."""
