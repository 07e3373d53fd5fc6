"""Why a task is due, down to the lines of the files."""
