"""Sweeps: one function over many cases, on this machine's cores or on a cluster by its address.

Both adapters keep one promise (`app.ports.Sweeps`): results as they come, each with its case's
number; a case that fails is a result with its error; what is in the journal is not done again.
"""
