"""Due tasks to visits within the hours of the workshop."""
