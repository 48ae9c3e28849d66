"""Day planner for a tile setter: everything but the screen."""
