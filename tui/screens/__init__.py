"""The pages of the full-screen program: each turns what is on the wall into lines, and keys into reports."""
