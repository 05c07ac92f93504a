"""Use cases that leave something in the shop's store: plans, runs, audits, costs, photos, shops."""
