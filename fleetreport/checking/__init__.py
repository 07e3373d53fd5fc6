"""What is wrong with a fleet folder."""
