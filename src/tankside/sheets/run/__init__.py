"""Sheets for runs: the record of what was done and what came out."""
