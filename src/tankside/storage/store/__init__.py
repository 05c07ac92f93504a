"""The store: one database, on this machine in SQLite or for a shared shop in PostgreSQL.

opening.py      which store, made or upgraded where needed, as a `Store`
store.py        the protocol's promises, over rows
rows.py         what rows are, whoever holds them: sql/ or memory.py
forms.py        things as text, with the unit in every key
archive/        everything as one file of open formats, and back
"""
