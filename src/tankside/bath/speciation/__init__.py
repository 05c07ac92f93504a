"""What the dissolved ions really are: equilibrium, activity, and what follows from them."""
