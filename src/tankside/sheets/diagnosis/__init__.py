"""Sheets for the diagnosis: its record with the pictures of what was seen."""
