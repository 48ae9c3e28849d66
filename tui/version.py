"""The version, as a plain constant: asking the installed package for it would take longer than `--version` may."""

VERSION = "0.1.0"
"""The same as in pyproject.toml; a test holds them together."""
