"""A plan as an order of work: its edges, how far everything can slide along them, and why it lies where it does."""
