"""A part that conducts only through a coat: the shell, the front of copper, the ramp.

The chain to read: coat.py and contacts.py (what is given), shell.py (the metal of a field problem),
front.py (what came of the start), ramp.py (how to run it), readings.py (a coat's resistance from a
multimeter).
"""
