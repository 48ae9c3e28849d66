"""Laying tasks one after another onto a board of what is taken when."""
