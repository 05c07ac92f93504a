"""Where things are kept: the person's own files, a run's folder, a bath's ledger, the store."""
