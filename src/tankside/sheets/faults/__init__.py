"""Pictures of faults: each a base, places on it and looks there, all drawn by code."""
