"""The few widgets of the full-screen program: lines, the rooms by the hour."""
