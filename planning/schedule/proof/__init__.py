"""What no plan can do: the pieces of the lower bound on the finish."""
