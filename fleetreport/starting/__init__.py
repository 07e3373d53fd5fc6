"""The first minutes: a folder to start from, and the user guides that the package carries."""
