"""What a form asks about a bath: fields, their live check, and the answers as requests."""
