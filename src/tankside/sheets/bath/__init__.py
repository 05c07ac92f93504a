"""Sheets for the bath: mixing, analysis, labels, and the record of a bath's life."""
