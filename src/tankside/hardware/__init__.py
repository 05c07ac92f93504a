"""Bench supplies: declarations, links, and the guardian that switches off whatever happens."""
