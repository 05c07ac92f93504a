"""Use cases of the bath: from bottles to a bath that stays in its window, texts in, values out."""
