"""The commands, each a function of its options and arguments; `cli.py` puts them on the command line.

What takes long to import is imported by the command that needs it.
"""
