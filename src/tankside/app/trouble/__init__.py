"""Use cases of a trouble at the bench, asked about with what the workplace knows already."""
