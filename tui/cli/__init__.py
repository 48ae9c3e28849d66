"""The command line: one small module a group of commands, each imported only when its command is asked for."""
