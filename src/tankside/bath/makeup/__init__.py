"""A bath from bottles: amounts, order, warmth, what comes out and what it costs."""
