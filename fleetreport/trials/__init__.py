"""The run made again: on past days, or with changes."""
